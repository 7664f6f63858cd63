"""The README's picture of a page, from the page itself in a browser. Run by hand after a change of its look.

python -m tests.page.write_picture
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from lumsim.chunks import Crew
from lumsim.page.lit_settings import lit_page
from lumsim.page.writing import page_bytes
from lumsim.study.paging import page_plan
from lumsim.study.reading import read_study
from tests.browser import PROGRAMS, QUIETLY

STUDIES = Path(__file__).parents[2] / "studies"
STUDY = STUDIES / "teaching" / "alder-hall-shallow.toml"
PICTURE = STUDIES / "pictures" / "alder-hall-page.png"
SIZE = (1280, 1162)
"""Of the part that is shown, down to the plane. [px]"""

if __name__ == "__main__":
    program = next(found for found in map(shutil.which, PROGRAMS) if found is not None)
    lit = lit_page(page_plan(read_study(STUDY)), crew=Crew())
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        file = Path(folder) / "page.html"
        file.write_bytes(page_bytes(lit))
        browser = playwright.chromium.launch(executable_path=program, args=QUIETLY)
        page = browser.new_page(viewport={"width": SIZE[0], "height": SIZE[1]})
        page.goto(file.as_uri())
        page.screenshot(path=PICTURE)
        browser.close()
    sys.stdout.write(f"wrote {PICTURE}\n")
