"""What light does in the cabinet, in the order it happens.

Files:

    direct.py      modules → face: illuminance at points, flux on the face and on each return
    face_grid.py   how fine the face must be sampled for a throw and a beam

Imports cabinet, photometry and kernels; imported by simulation.
"""
