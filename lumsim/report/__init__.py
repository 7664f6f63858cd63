"""Results → what a person or a program reads.

Files:

    numbers.py     digits: never a printed "1.50, limit 1.50, not met"
    notes.py       what a reader must be told beside the numbers
    light_text.py  a lit cabinet as text
    search_text.py a search's answer as text
    levels.py      luminance limits, ageing, films, lumens for a luminance
    points.py      points and depths given on the command line
    document.py    the same results as one JSON document each
    files.py       maps as CSV, NPZ, PNG, SVG; every file written whole or not at all

Imports everything below; imported by cli.
"""
