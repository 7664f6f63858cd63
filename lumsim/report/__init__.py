"""Results → what a person or a program reads.

Files:

    numbers.py     digits: never a printed "1.50, limit 1.50, not met"
    notes.py       what a reader must be told beside the numbers
    fitting.py     warnings of what cannot be built as it is laid
    counting.py    warnings of pitches where a hair changes how many rows or modules there are
    aiming.py      warnings of modules that are aimed oddly
    cures.py       what helps a face that is not even enough
    faces_text.py  of two faces which one is told of, how both stand, which one decides
    spots_text.py  stripes, hot and dark spots as text
    flux_text.py   where the lumens went, as text
    rows_text.py   rows in words: what they are on, beams, LEDs, throws
    light_text.py  a lit cabinet as text
    search_text.py a search's answers as text
    layout_text.py a layout that a search found, in words
    side_by_side.py what was found exactly and to build, with what is to spare
    plane_picture.py  the plane of row pitch and depth as what is drawn
    sentences.py   words that stand by themselves
    plane_text.py  the plane of row pitch and depth as text and as CSV
    search_document.py  a search's answers as one JSON document
    tolerance_text.py  sensitivity and tolerance as text, built signs as CSV
    tolerance_document.py  the same as one JSON document
    compare_built.py  what several studies build otherwise
    compare_numbers.py  their numbers, and how each differs from the first
    compare_text.py  both as text, with verdicts and warnings
    compare_document.py  the same as one JSON document
    compare_picture.py  the same as what a picture is drawn from
    cautions.py    what every build sheet says in plain sight
    submittal_document.py  what a submittal says as one JSON document
    columns.py     tables for people: columns, rows that are alike together, numbers in a list
    assembly_text.py  what to cut, hold and power, as text
    upkeep_text.py what a sign costs and how it is kept up, as text
    assembly_document.py  both as parts of a JSON document
    sheet_text.py  a build sheet as text, its modules as CSV
    sheet_document.py  the same as one JSON document
    named_text.py  named limits and how a sign stands to them
    seeing_text.py what the eye may notice from the distances that a study names
    levels.py      luminance, ageing, films, lumens for a luminance
    luminance_limits.py  limits on luminance, how far to dim, what helps
    points.py      points and depths given on the command line; the light at points
    beam_text.py   a beam and its photometric file, as text and as a document
    document.py    a lit cabinet as one JSON document
    programme.py   a folder of studies searched in one run: text, document, table
    tables.py      tables as CSV
    json_text.py   a document as JSON text
    files.py       maps as CSV, NPZ, PNG, SVG; every file written whole or not at all

Imports everything below; imported by cli.
"""
