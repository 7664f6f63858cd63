"""lumsim: how evenly rows of LED modules light the face of a box sign.

A study file says what is built; lumsim works out the light on the face, judges its evenness, and searches
for the widest row pitch that is still even. The folders follow the path of that work. Each imports only
from floors below it (the number in front), which the import-linter contracts in ``pyproject.toml`` hold.

    11 cli/         parse, call one function, print; one file per command
    10 paper/       results → pages: PDFs set in type
    10 page/        a sign at every setting → one HTML file to play with
    9 report/       results → text a person reads, JSON, CSV and NPZ files
    8 study/        TOML file ↔ cabinet and question; ``answer`` is what everything above calls
    7 pictures/     matplotlib, and only here; takes results, computes nothing
    6 sheet/        what to cut, hold and power, and what the wire does to the light
    5 search/       questions that need many simulations
    4 simulation    ``simulate(cabinet)``: the whole path on one screen
    4 whole_light   the light inside → each face's map and numbers, by one mesh
    4 lit_face      one lit face, judged
    3 light/        what light does in the cabinet, in the order it happens
    3 uniformity/   what the eye complains of, on any luminance map
    2 cabinet/      what gets built: box, face, modules, rows; knows no light
    1 beams/        how the intensity of a module falls off from its axis
    1 chunks/       long work in parts: here, by local processes, by a cluster
    1 kernels/      compiled loops: arrays in, arrays out
    1 photometry    the glossary: flux, intensity, illuminance, luminance
    1 units         lengths with their unit, exact
    0 errors        the tree of errors

Axes: x to the right along the width, y up along the height, z from the back to the face, in a double-sided
cabinet from the rear face to the front; the origin is the lower left of the back, seen from in front. Face
maps are indexed [y, x]. SI inside: m, lm, lx, cd/m².
"""

__version__ = "0.1.0"
