"""Beams: how a module's intensity falls off from its axis.

    beam.py       what every beam tells
    closed.py     cosine powers and their sums: Lambertian, cosine-power, wide
    tables.py     beams alike all round the axis: tables of angle and intensity, the uniform-plane form
    webs.py       measured beams, of any shape, between the angles of a photometric file
    measured.py   measured beams from such files, and their parts
    lm63.py       photometric files of ANSI/IES LM-63

Directions are told in the module's own frame: θ from its axis, φ around it from the direction that lies along the
row, counterclockwise as seen from the side that it shines at.
"""
