"""The command line: parse, call one function, print. One file per command.

Files:

    app.py       the commands together; errors become sentences here
    options.py   arguments and options that several commands share
    crew.py      who does long work
    statuses.py  exit statuses
    messages.py  progress and messages on stderr
    new.py       a starter study; the JSON Schema
    check.py     check a study without lighting it
    light.py     light a study and judge its face
    search.py    a study's questions of pitch, depth, rows and modules; a folder of studies
    tolerance.py sensitivity and tolerance
    sheet.py     the build sheet
    compare.py   studies side by side
    submittal.py the paper that justifies a spacing
    page.py      a sign at every setting, as one HTML file
    beam.py      a photometric file; a beam in figures and as a polar curve

Nothing heavy is imported at the top of any of them: `--help` is instant.
"""
