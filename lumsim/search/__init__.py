"""Questions that need many simulations.

Files:

    layouts.py     a cabinet with another row pitch or another depth; the least depth that leaves a throw
    row_pitch.py   the widest row pitch that meets a requirement at one depth
    depths.py      the same at several depths: row pitch against depth

Whole rows make evenness a sawtooth in pitch: within one row count a wider pitch brings the outermost rows
nearer the returns and evens the edges, until the stripes win; the next count starts over. So nothing here
assumes that a wider pitch is worse. Imports simulation; imported by study.
"""
