"""The page in a real browser: it moves, tells, prints and asks for nothing; it is for everyone."""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page
from pypdf import PdfReader

from lumsim.page.contents import UNTOLD
from lumsim.page.lit_settings import Told, lit_page
from lumsim.page.writing import page_bytes
from lumsim.study.paging import Setting, page_plan
from lumsim.study.reading import read_study
from tests.browser import Heard, listen
from tests.page.shown_page import html, lit

STUDIES = Path(__file__).parents[2] / "studies"

WIDTHS = (360, 1024, 1920)
"""A telephone's, a small laptop's and a projector's. [px]"""


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The small study's page on the disk, by its address."""
    path: Path = tmp_path_factory.mktemp("page") / "page.html"
    path.write_bytes(html())
    return path.as_uri()


@pytest.fixture
def opened(browser: Browser, file: str) -> Iterator[tuple[Page, Heard]]:
    """The page, opened at a laptop's width; by the end it has said nothing bad and asked for nothing but itself."""
    context = browser.new_context(viewport={"width": 1024, "height": 768})
    page = context.new_page()
    heard = listen(page)
    page.goto(file)
    yield page, heard
    assert heard.errors == []
    assert heard.elsewhere(file) == []
    context.close()


def told_at(laying: int, depth: int, walls: int, *changes: str) -> Told:
    """Return what lumsim tells of a setting."""
    return lit(*changes).told[Setting(laying=laying, depth=depth, walls=walls)]


def assert_shown(page: Page, told: Told) -> None:
    """The numbers, limits, levels, verdict, rows and warnings on the page are those of a setting."""
    for number, (title, value, state) in enumerate(told.evenness):
        entry = page.locator("#evenness div, #further div").nth(number)
        assert entry.locator("dt").text_content() == title
        assert entry.locator("dd").text_content() == value + state
    assert page.locator("#levels dd").all_text_contents() == list(told.levels)
    assert page.locator("#verdict").text_content() == told.verdict
    assert page.locator("#rows").text_content() == told.rows
    assert page.locator("#state").text_content() == ("Requirement met" if told.met else "Requirement NOT met")
    assert page.locator("#warnings li").all_text_contents() == list(told.warnings)


def test_every_setting_shows_its_own_numbers(opened: tuple[Page, Heard]) -> None:
    """Sliders moved by keys and walls chosen, each of all settings shows what lumsim tells of it."""
    page, _ = opened
    pitch, depth = page.get_by_label("Row pitch", exact=True), page.get_by_label("Depth", exact=True)
    for walls in range(2):
        page.locator("input[name=walls]").nth(walls).check()
        depth.press("Home")
        for number in range(3):
            pitch.press("Home")
            for laying in range(3):
                assert_shown(page, told_at(laying, number, walls))
                pitch.press("ArrowRight")
            depth.press("ArrowRight")


def test_the_page_opens_at_the_study_and_comes_back_to_it(opened: tuple[Page, Heard]) -> None:
    """What is shown first is the study itself, and the button brings it back from anywhere."""
    page, _ = opened
    own = lit().plan.own
    assert_shown(page, lit().own)
    page.get_by_label("Row pitch", exact=True).press("End")
    page.locator("input[name=walls]").nth(1).check()
    assert_shown(page, told_at(2, own.depth, 1))
    page.get_by_role("button", name="Back to the study").press("Enter")
    assert_shown(page, lit().own)


def test_the_plane_says_where_you_are_and_takes_you_elsewhere(opened: tuple[Page, Heard]) -> None:
    """One cell alone is marked as here; arrow keys and clicks in the grid move sliders and numbers with them."""
    page, _ = opened
    own = lit().plan.own
    here = page.locator("#plane [aria-selected=true]")
    assert here.count() == 1
    here.focus()
    page.keyboard.press("ArrowUp")
    assert_shown(page, told_at(own.laying, own.depth + 1, 0))
    page.keyboard.press("Home")
    assert_shown(page, told_at(0, own.depth + 1, 0))
    assert page.get_by_label("Depth", exact=True).input_value() == str(own.depth + 1)
    # Rows of the table go from deep to shallow.
    page.locator("#plane tbody tr").nth(2).locator("td").nth(2).click()
    assert_shown(page, told_at(2, 0, 0))
    assert page.locator("#plane td").evaluate_all("all => all.filter(one => one.tabIndex === 0).length") == 1
    cells = page.locator("#plane tbody tr").evaluate_all(
        "rows => rows.map(r => [...r.cells].slice(1).map(c => c.innerText))"
    )
    for number, line in enumerate(reversed(cells)):
        for laying, text in enumerate(line):
            assert float(text) == pytest.approx(told_at(laying, number, 0).numbers["max_to_min"], abs=0.0051)


def test_all_can_be_reached_and_moved_by_the_keyboard_alone(opened: tuple[Page, Heard]) -> None:
    """Tab comes to all that can be chosen and folded out, and to the plane, in the order they stand in."""
    page, _ = opened
    reached = []
    for _ in range(12):
        page.keyboard.press("Tab")
        reached.append(
            page.evaluate(
                "document.activeElement.id || document.activeElement.name || document.activeElement.tagName"
            )
        )
    wanted = ["shown", "pitch", "depth", "walls", "own", "SUMMARY", "measure", "TD"]
    assert [one for one in dict.fromkeys(reached) if one in wanted] == wanted


def test_a_screen_reader_is_told_what_it_cannot_see(opened: tuple[Page, Heard]) -> None:
    """Sliders speak lengths and rows, pictures their numbers, and once a slider rests the status its max/min."""
    page, _ = opened
    slider = page.get_by_label("Row pitch", exact=True)
    slider.press("End")
    told = told_at(2, lit().plan.own.depth, 0)
    rows = "1 row" if told.row_count == 1 else f"{told.row_count} rows"
    assert slider.get_attribute("aria-valuetext") == f"12 in ({rows})"
    face = page.get_by_role("img", name="The lit face")
    label = face.get_attribute("aria-label") or ""
    assert told.levels[1] in label
    assert told.levels[2] in label
    assert "from bottom, to top" in (page.locator("#profile").get_attribute("aria-label") or "")
    ratio = told.evenness[0][1]
    page.get_by_role("status").filter(has_text=f"max/min {ratio}").wait_for(timeout=30_000, state="attached")


LINEAR = """([across, up]) => {
  const canvas = document.getElementById("face");
  const column = Math.min(canvas.width - 1, Math.floor(across * canvas.width));
  const row = Math.min(canvas.height - 1, Math.floor((1 - up) * canvas.height));
  const grey = canvas.getContext("2d").getImageData(column, row, 1, 1).data[0] / 255;
  return grey <= 0.04045 ? grey / 12.92 : ((grey + 0.055) / 1.055) ** 2.4;
}"""
"""Light of the screen at a share of the face's width and height, as drawn, by sRGB."""

ASKEW = (
    'rows.direction="vertical"',
    "rows.pitch=",
    'rows.at=["6 in", "14 in", "30 in"]',
    'page.pitches=["12 in"]',
    'page.depths=["6 in"]',
)
"""Three rows to the left of the middle, at one depth and two walls."""

TWO_FACES = (
    "cabinet.faces=2",
    "interior.back_reflectance=",
    'rows.on="plane"',
    "rows.z=3 in",
    "rows.front_share=0.3",
)


@pytest.mark.parametrize("changes", [(), ASKEW, (*ASKEW, *TWO_FACES)], ids=["even", "askew", "rear"])
def test_the_face_drawn_is_the_face_lit(browser: Browser, tmp_path: Path, changes: tuple[str, ...]) -> None:
    """Read back from the screen the greys are the luminance there, upright; a rear face has its sides swapped."""
    (tmp_path / "page.html").write_bytes(html(*changes))
    page = browser.new_page(viewport={"width": 1024, "height": 768})
    page.goto((tmp_path / "page.html").as_uri())
    told = lit(*changes).own
    assert told.side == ("rear" if TWO_FACES[0] in changes else "front")
    dots = told.face
    ny, nx = dots.dots.shape
    for row in range(1, ny, 5):
        for column in range(1, nx, 7):
            there = dots.darkest + float(dots.dots[row, column]) / 255 * (dots.brightest - dots.darkest)
            across = (column + 0.5) / nx
            shown = page.evaluate(LINEAR, [1 - across if told.side == "rear" else across, (row + 0.5) / ny])
            assert shown == pytest.approx(there / told.numbers["highest"], abs=0.03)
    page.close()


def test_the_profile_of_a_rear_face_lies_as_the_face_above_it(browser: Browser, tmp_path: Path) -> None:
    """Rows on the left as seen from the front have their marks on the right; how places are counted is told."""
    changes = (*ASKEW, *TWO_FACES)
    (tmp_path / "page.html").write_bytes(html(*changes))
    page = browser.new_page(viewport={"width": 1024, "height": 768})
    page.goto((tmp_path / "page.html").as_uri())
    marks = page.locator("#profile path[fill='#6a3d8f']").evaluate_all(
        "all => all.map(one => { const box = one.getBBox(); return box.x + box.width / 2; })"
    )
    assert len(marks) == 3
    assert marks == sorted(marks, reverse=True)
    svg = page.locator("#profile svg")
    wide = svg.evaluate("one => one.viewBox.baseVal.width")
    assert sum(marks) / 3 > wide / 2
    assert "left, as seen from the front" in (svg.text_content() or "")
    assert page.locator("#counted").text_content() == "Places are counted as seen from the front."
    assert page.locator("#side").text_content() == " (rear, seen from behind)"
    page.close()


def test_rows_that_stay_have_no_slider(browser: Browser, tmp_path: Path) -> None:
    """Of listed modules, and of one depth alone, there is no slider to move; the page says why rows stay."""
    study = read_study(STUDIES / "quarry-bakery.toml", changes=['page.depths=["7 1/2 in"]'])
    page_of = lit_page(page_plan(study))
    (tmp_path / "page.html").write_bytes(page_bytes(page_of))
    page = browser.new_page(viewport={"width": 1024, "height": 768})
    page.goto((tmp_path / "page.html").as_uri())
    assert page.locator("#pitch").is_hidden()
    assert page.locator("#depth").is_hidden()
    assert page.get_by_text("Row pitch is not among the choices: modules are listed one by one.").is_visible()
    told = page.locator("#rows").text_content() or ""
    assert "old: 70 lm" in told
    assert "new: 95 lm" in told
    page.close()


def test_the_plane_tells_stripes_where_they_are_asked_for(opened: tuple[Page, Heard]) -> None:
    """Told stripes, each cell has the stripes number of its setting, and the key says so without a word on edges."""
    page, _ = opened
    page.get_by_label("stripes", exact=True).check()
    assert "Stripes" in (page.locator("#measure").text_content() or "")
    assert page.locator("#edges").is_hidden()
    least = min(one.numbers["stripe_max_to_min"] for one in lit().told.values() if one.sees_a_period)
    assert float(page.locator("#even-told").text_content() or "") == pytest.approx(least, abs=0.0051)
    texts = []
    for number in range(3):
        for laying in range(3):
            text = (
                page.locator("#plane tbody tr").nth(2 - number).locator("td").nth(laying).text_content() or ""
            )
            told = told_at(laying, number, 0)
            texts.append(text)
            if told.sees_a_period:
                assert float(text) == pytest.approx(told.numbers["stripe_max_to_min"], abs=0.0051)
            else:
                assert text == UNTOLD
    assert 0 < texts.count(UNTOLD) < len(texts)
    assert page.locator("#untold").is_visible()


def test_forced_colours_leave_the_plane_its_own(browser: Browser, file: str) -> None:
    """Where a reader's system sets all colours, cells keep theirs, and hatching still tells what misses."""
    context = browser.new_context(forced_colors="active")
    page = context.new_page()
    page.goto(file)
    missed = page.locator("#plane td.missed").first
    assert "gradient" in missed.evaluate("one => getComputedStyle(one).backgroundImage")
    grounds = page.locator("#plane td").evaluate_all(
        "all => all.map(one => getComputedStyle(one).backgroundColor)"
    )
    assert len(set(grounds)) > 3
    context.close()


def test_colours_are_an_answer_for_eyes_that_miss_faint_stripes(opened: tuple[Page, Heard]) -> None:
    """Shown in colours the face has a key from 40 % to 100 % and more than greys; shown as seen it has none of it."""
    page, _ = opened
    coloured = """() => {
      const canvas = document.getElementById("face");
      const dots = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height).data;
      let most = 0;
      for (let at = 0; at < dots.length; at += 4) most = Math.max(most, Math.abs(dots[at] - dots[at + 2]));
      return most;
    }"""
    assert page.evaluate(coloured) == 0
    assert page.locator("#key-colours").is_hidden()
    page.get_by_label("in colours").check()
    assert page.evaluate(coloured) > 60
    assert page.locator("#key-colours").is_visible()
    assert page.locator("#key-seen").is_hidden()


@pytest.mark.parametrize("width", WIDTHS)
def test_no_rule_of_accessibility_is_broken(browser: Browser, file: str, width: int) -> None:
    """Checked by the axe rules (WCAG 2.2 A and AA among them) with everything folded out, nothing is found."""
    context = browser.new_context(viewport={"width": width, "height": 800}, bypass_csp=True)
    page = context.new_page()
    page.goto(file)
    page.locator("details").evaluate_all("all => all.forEach(one => { one.open = true; })")
    found = Axe().run(page)
    assert len(found.response["passes"]) > 30
    assert [(one["id"], one["nodes"][0]["target"]) for one in found.response["violations"]] == []
    context.close()


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_lies_beyond_the_side_of_the_screen(browser: Browser, file: str, width: int) -> None:
    """At a telephone's, a laptop's and a projector's width the page never scrolls sideways, nor does text overlap."""
    context = browser.new_context(viewport={"width": width, "height": 800})
    page = context.new_page()
    page.goto(file)
    assert page.evaluate("document.scrollingElement.scrollWidth") <= width
    boxes = page.locator("main > section").evaluate_all(
        "all => all.map(one => { const b = one.getBoundingClientRect(); return [b.left, b.right, b.top, b.bottom]; })"
    )
    for number, (left, right, top, bottom) in enumerate(boxes):
        assert left >= 0
        assert right <= width
        for other_left, other_right, other_top, other_bottom in boxes[:number]:
            apart = left >= other_right or right <= other_left or top >= other_bottom or bottom <= other_top
            assert apart
    small = page.locator("main *:visible").evaluate_all(
        "all => all.filter(one => one.childNodes.length === 1 && one.firstChild.nodeType === 3)"
        ".map(one => parseFloat(getComputedStyle(one).fontSize)).reduce((a, b) => Math.min(a, b), 99)"
    )
    assert small >= (11 if width < 1000 else 11.5)
    context.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_to_one_sheet(opened: tuple[Page, Heard], paper: str) -> None:
    """Printed, what is chosen is on one sheet: numbers, verdict, plane and cautions."""
    page, _ = opened
    page.get_by_label("Row pitch", exact=True).press("End")
    printed = PdfReader(io.BytesIO(page.pdf(format=paper)))
    assert len(printed.pages) == 1
    words = " ".join(unicodedata.normalize("NFKC", printed.pages[0].extract_text()).split())
    told = told_at(2, lit().plan.own.depth, 0)
    assert " ".join(told.verdict.split())[:60] in words
    assert "isolate and lock out" in words.lower()
    assert "Every row pitch at every depth" in words


def test_without_scripts_the_study_is_there(browser: Browser, file: str) -> None:
    """With scripts off the study's own numbers stand there, the controls are gone, and the face is a picture."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(file)
    assert_shown(page, lit().own)
    still = page.locator("#sign img")
    assert still.is_visible()
    wide, high = still.evaluate("one => [one.naturalWidth, one.naturalHeight]")
    assert (high, wide) == lit().own.face.dots.shape
    for hidden in ("#choose", "#across", "#everywhere", "#face"):
        assert page.locator(hidden).is_hidden()
    context.close()
