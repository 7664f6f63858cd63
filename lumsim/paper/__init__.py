"""Results → pages: PDFs set in type, with real tables, numbered pages and text that can be selected.

Files:

    document.py      what a paper is made of: sections of sentences, tables, lists, pictures, drawings
    both_units.py    lengths in inches told in millimetres too
    typesetting.py   a paper as the bytes of a PDF: typst, and only here
    paper.typ        how it looks on the page
    title_table.py   the title block
    inputs_table.py  every input with where it comes from
    light_tables.py  a lit face in tables: evenness, luminance, lumens, what stands out
    method.py        how it was computed, how exact it is, what it leaves out
    submittal.py     the paper that justifies a spacing
    comparison.py    several studies side by side

The words and numbers are those of report; nothing is computed here. Imported by cli.
"""
