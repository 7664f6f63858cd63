"""What light does in the cabinet, in the order it happens.

Files:

    direct.py           modules → face: illuminance at points, flux on each surface
    upright.py          sources of closed form that shine straight at the face
    shaped.py           sources of any other beam or direction, at points of the face
    lattice.py          rows of sources on a whole lattice of points, by curves of their light
    cells.py            the same as flux through the cells of any surface of the box
    beam_tables.py      what the cells look up of a beam, made once and kept
    face_grid.py        how fine the face must be sampled for a throw and a beam
    surfaces.py         the inside cut into patches
    mirrors.py          light in a box falls apart into four parts, even or odd under its mirrors
    exchange.py         what each patch sends to each other, exact and never stored pair by pair
    symmetry.py         whether what shines is its own mirror image, and half of it tells the other half
    patch_light.py      modules → patches: what interreflection starts from
    patches_one_way.py  of it, what has a closed form and shines straight at the face
    patches_all_ways.py and any other beam, in any direction
    interreflection.py  the radiosity balance solved
    strips.py           where patches beside the face's edges are cut into narrowing strips
    edges.py            what the returns throw back beside those edges, solved again in strips
    corners.py          the same in the face's corners, where three surfaces meet
    gathering.py        patches → face: the light thrown back at any point of it
    interior.py         what a box's sizes alone fix, kept for every layout in it
    quadrature.py       points and weights of Gauss-Legendre, each computed once
    lit_inside.py       the whole way, modules → patches → balance → one face or two
    ledger.py           where the lumens went
    infinite_rows.py    rows without end between plates without end, in closed form
    matern.py           the spectrum of a cosine power's light, which those rows are summed by
    modules_in_line.py  modules in one line with nothing around them, and when two make one hump
    point_error.py      how far off a module is when it is told as a point: the five-times rule
    beam_steps.py       how far off a measured beam may be for the coarse steps of its angles

All of it speaks of a face at z = depth and of sources that shine at it. The rear face of a double-sided
cabinet is the same in a mirror midway along the depth: ``Cabinet.sources`` mirrors them,
``Surfaces.mirrored`` the patches, and x and y stay as they are.

Imports beams, cabinet and kernels; imported by simulation.
"""
