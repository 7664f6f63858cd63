"""One TOML file = one cabinet and one question.

Files:

    values.py          lengths, angles, numbers as they stand in a study
    sheet_form.py      the keys that `lumsim sheet` works by
    submittal_form.py  the keys of a submittal's title block
    page_form.py       the keys of the [page] table
    defaults.py        what a study leaves out, as a result must show it
    inputs.py          what a study says, key by key, and where it comes from
    table.py           a table of which every key is known
    search_form.py     the keys of the [search] tables
    form.py            every key of a study file, its meaning and default; the JSON Schema
    key_lines.py       the line each key stands on, which TOML readers do not tell
    broken_toml.py     a TOML file that cannot be read, explained
    text_file.py       a study or a table that it names: its text, or why it cannot be read
    positions_csv.py   listed modules
    price_list.py      a list of prices
    changes.py         keys changed by ``--set``
    reports.py         how what does not fit is told
    faces.py           one face or two, and where rows are between them
    mounts.py          what rows are on; rows on returns; LEDs that would stick out
    modules.py         kinds of module: beams, photometric files, LEDs, openings
    listing.py         groups whose modules a CSV file lists
    building.py        form → Cabinet and Requirement; what does not fit is refused
    further.py         what else is wrong with a study whose form is refused
    reading.py         file and ``--set`` → Study; every problem at once
    alternatives.py    files, and changes of the first, to hold side by side
    toml_edits.py      keys of a TOML text changed, the rest kept as it was written
    saving.py          an answer of a search as a study file again
    starter.py         a commented study to start from
    levels.py          to what share to dim a face, what lumens a luminance takes
    questions.py       what a study asks of a search
    sheet_asked.py     what a study says of wire, supplies and how modules take their current
    build_asked.py     what a study says of strings, supports, supplies, small parts, costs, service
    naming.py          the limits that a study names, together with its own
    viewing_form.py    from how far off a study's sign is looked at
    viewing.py         what the eye may then notice
    spread.py          what a study says of how built signs differ from it
    answering.py       ``answer``: the study's cabinet lit, as the command line, notebooks and tests call it
    usual_depths.py    the depths that are searched where a user names none
    searching.py       ``search``: each question answered, likewise
    tolerating.py      ``tolerance``: how numbers move, and how signs come out built, likewise
    submitting.py      ``submit``: all that a submittal rests on, likewise
    paging.py          which settings a page lets its reader choose, and their cabinets
    sheeting.py        ``sheet``: what to mark out and wire, and the light that is left, likewise
    comparing.py       ``compare``: several studies lit and held side by side, likewise

Three lines of Python::

    from lumsim.study.reading import read_study
    from lumsim.study.answering import answer

    print(answer(read_study("studies/larkspur-library.toml")).evenness.max_to_min)

Imported by report and cli. Lengths carry their unit here; below, everything is SI.
"""
