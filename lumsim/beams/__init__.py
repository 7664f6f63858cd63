"""Measured light: how a module's intensity is written down in photometric files.

Files:

    lm63.py         PhotometricFile: what a file of ANSI/IES LM-63 says, its numbers checked
    lm63_text.py    the text of such a file: edition, labels, and numbers that know their line
    lm63_tilt.py    the TILT line and its table: a lamp's light when the luminaire is tilted
    directions.py   the angles of the three photometric types: what may be, what symmetry they tell, flux

Imports errors and numpy only.
"""
