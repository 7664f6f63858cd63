"""What gets built: the box, its face, the modules and their rows. Knows no light.

Files:

    box.py        Box: width, height, depth, reflectances of back and returns; Obstruction
    face.py       Face: transmittance, reflectance of its inner side, visible border
    modules.py    Module: lumens, beam, watts, volts; Emitters: many of them placed
    places.py     whole rows on a tape measure: pitch, count, edge distance → positions, in exact arithmetic
    rows.py       Rows and ListedModules: a group of rows of one kind of module
    cabinet.py    Cabinet: box, one face or two, and rows; refuses what does not fit
    ageing.py     the same cabinet aged: less lumens, dirt inside

Imported by light, simulation, search and study.
"""
