"""Beams: how a module's intensity falls off from its axis, and the photometric files that tell it.

Files:

    beam.py         what every beam tells
    closed.py       cosine powers and their sums: Lambertian, cosine-power, wide
    tables.py       beams alike all round the axis: tables of angle and intensity, the uniform-plane form
    webs.py         measured beams, of any shape, between the angles of a photometric file
    measured.py     photometric file → beam: what it leaves out by symmetry filled in
    zones.py        where a beam's flux goes: within an angle of the axis, and by direction
    figures.py      a beam in figures: peak, beam angle, field angle, flux by zones
    lm63.py         PhotometricFile: what a file of ANSI/IES LM-63 says, its numbers checked
    lm63_text.py    the text of such a file: edition, labels, and numbers that know their line
    lm63_rows.py    which row of its values is too short or too long
    lm63_tilt.py    the TILT line and its table: a lamp's light when the luminaire is tilted
    directions.py   the angles of the three photometric types: what may be, what symmetry they tell, flux

Directions are told in the module's own frame: θ from its axis, φ around it from the direction that lies along the
row, counterclockwise as seen from the side that it shines at. Imports errors, numpy and scipy only.
"""
