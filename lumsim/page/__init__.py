"""One HTML file that shows a sign at every setting of row pitch, depth and walls, for people without lumsim.

Files:

    lit_settings.py  every setting lit and told of: what one worker does at a time, all of them together
    face_bytes.py    a lit face as few bytes, enough for a screen
    contents.py      what the page's script chooses from
    writing.py       contents → one HTML file with nothing to fetch
    document.py      the settings as JSON
    page.html        the page: headings, controls, places for numbers
    page.css         how it looks on a telephone, a projector and paper
    page.js          what moves when a reader chooses; it computes no light

Everything a reader sees is lit beforehand by ``simulate`` at exactly that setting; nothing between two settings is
shown. Imported by cli.
"""
