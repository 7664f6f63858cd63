"""What light does in the cabinet, in the order it happens.

Files:

    direct.py           modules → face: illuminance at points, flux on the face and on each return
    face_grid.py        how fine the face must be sampled for a throw and a beam
    surfaces.py         the inside cut into patches
    exchange.py         what each patch sends to each other, exact and never stored pair by pair
    patch_light.py      modules → patches: what interreflection starts from
    interreflection.py  the radiosity balance solved
    gathering.py        patches → face: the light thrown back at any point of it
    ledger.py           where the lumens went

All of it speaks of a face at z = depth and of modules that shine at it. The rear face of a double-sided
cabinet is the same in a mirror midway along the depth: ``Cabinet.towards`` mirrors the modules,
``Surfaces.mirrored`` the patches, and x and y stay as they are.

Imports cabinet, photometry and kernels; imported by simulation.
"""
