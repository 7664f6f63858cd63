"""Questions that need many simulations.

Files:

    asked.py           what may be asked of a search, between what lengths
    layouts.py         a cabinet with another pitch, depth or rows; the least depth that leaves a throw
    trying.py          one layout lit and judged: looked at quickly, or verified whole
    outcomes.py        how a layout or a sign stands, without its cabinet
    scanning.py        one number against one length: where it is least, where it first meets a limit
    row_pitch.py       the widest row pitch that meets a requirement at one depth
    depths.py          the same at several depths: row pitch against depth
    depth.py           the least depth at which rows, left where they are, meet a requirement
    edge_distance.py   the best edge distance of so many rows
    families.py        every pair of a row count and a module count that a cabinet holds, and its layouts
    fewest.py          the fewest modules, watts or rows that meet a requirement
    plane.py           evenness over the whole plane of row pitch and depth
    sensitivity.py     how the numbers move for each length and each reflectance
    spread.py          what built signs differ in, and one of them drawn
    twins.py           which modules are mirror images of others
    module_light.py    what the cabinet throws back of each module's light
    built_light.py     light on the faces of built signs, by what they differ in
    tolerance.py       the share of built signs that meets a requirement
    dead.py            the dead module that hurts most
    endless_rows.py    the curve of rows without end in that plane

Whole rows make evenness a sawtooth in pitch: within one row count a wider pitch brings the outermost rows
nearer the returns and evens the edges, until the stripes win; the next count starts over. So nothing here
assumes that a wider pitch is worse. Imports simulation; imported by study.
"""
