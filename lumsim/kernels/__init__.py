"""Compiled loops: arrays of numbers in, arrays out.

    cell_flux.py       flux of point sources of any beam and any direction through the cells of a rectangle
    compiling.py       how every kernel is compiled, and whether one still has to be
    merge_tree.py      peaks of a map, their saddles, and how far a spot reaches
    past_edges.py      flux of point modules past the edges of the face, for light on the returns
    point_sources.py   illuminance on a plane from point modules that face it

Imported by ``light/`` and ``uniformity/``, which check and prepare what goes in. A kernel checks nothing,
knows no thing of the trade, and has a naive twin in ``tests/kernels/naive.py``. Kernels import numpy and
numba and nothing else; this file imports nothing, so that naming the folder costs no start-up time.

Each kernel file stands alone: a compiled function is never imported from another kernel file. numba keys the
cache of a function by the function's own file only, so a change in an imported function would go unnoticed
and yesterday's machine code would run on.
"""
