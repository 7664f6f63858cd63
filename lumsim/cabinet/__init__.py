"""What gets built: the box, its face, the modules and their rows. Knows no light.

Files:

    box.py          Box: width, height, depth, reflectances of back and returns; Obstruction
    face.py         Face: transmittance, reflectance of its inner side, visible border
    modules.py      Module: lumens, beam, LEDs, watts, volts; Emitters: many of them placed
    orientation.py  which way modules point: on the back or on a return, turned and tilted
    places.py       whole rows on a tape measure: pitch, count, edge distance → positions, in exact arithmetic
    rows.py         Rows and ListedModules: a group of rows of one kind of module
    sources.py      every LED of placed modules as a point that shines into a half space
    cabinet.py      Cabinet: box, one face or two, and rows; refuses what does not fit
    pitches.py      the one pitch of its rows, and of modules along them, where there is one
    overlaps.py     modules that take the same room; openings that stick out of the cabinet
    ageing.py       the same cabinet aged: less lumens, dirt inside

Imported by light, simulation, search and study.
"""
