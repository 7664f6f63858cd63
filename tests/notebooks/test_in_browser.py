"""Each notebook as the class sees it: an app in a browser, offline, whose sliders redraw."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

import pytest
from playwright.sync_api import Browser, Page

from tests.browser import listen
from tests.notebooks.course import NOTEBOOKS, ROOT

GIVEN_UP = 180.0
"""After so long something hangs. [s]"""

TOLD = """() => JSON.stringify([
    ...[...document.querySelectorAll(".markdown")].map(part => part.innerText),
    ...[...document.querySelectorAll("img")].map(picture => picture.alt),
])"""
"""What the page says, in text and beside its pictures, without what its sliders say of themselves."""


PALEST = """() => {
    const light = colour => {
        const dot = new OffscreenCanvas(1, 1).getContext("2d");
        dot.fillStyle = colour;
        dot.fillRect(0, 0, 1, 1);
        const [red, green, blue] = [...dot.getImageData(0, 0, 1, 1).data].map(value => value / 255)
            .map(value => value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4);
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
    };
    const questions = [...document.querySelectorAll("marimo-accordion")]
        .flatMap(one => [...one.shadowRoot.querySelectorAll("button")]);
    return Math.min(...questions.map(one => 1.05 / (light(getComputedStyle(one).color) + 0.05)));
}"""
"""Contrast of the palest question against the white page (WCAG 2.1: relative luminance, contrast ratio)."""


def free_port() -> int:
    """A port that nobody listens at just now."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return int(listener.getsockname()[1])


@contextmanager
def served(notebook: Path, folder: Path) -> Iterator[str]:
    """Serve a notebook as an app from a folder that holds nothing, until it is looked at; its address."""
    port = free_port()
    homes = dict.fromkeys(
        ("XDG_CONFIG_HOME", "XDG_CACHE_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME"), str(folder)
    )
    path = os.pathsep.join(filter(None, [str(ROOT), os.environ.get("PYTHONPATH")]))
    command = [sys.executable, "-m", "marimo", "run", str(notebook), "--headless", "--no-token"]
    with (folder / "served.txt").open("wb") as said:
        process = subprocess.Popen(
            [*command, "--host", "127.0.0.1", "--port", str(port)],
            cwd=folder,
            env={**os.environ, **homes, "PYTHONPATH": path, "MARIMO_SKIP_UPDATE_CHECK": "1"},
            stdout=said,
            stderr=subprocess.STDOUT,
        )
        try:
            address = f"127.0.0.1:{port}"
            _await(address, process, folder / "served.txt")
            yield address
        finally:
            process.terminate()
            process.wait(GIVEN_UP)


def _await(address: str, process: subprocess.Popen[bytes], said: Path) -> None:
    """Return once the app answers."""
    until = time.monotonic() + GIVEN_UP
    while True:
        try:
            with urlopen(f"http://{address}/health") as answer:
                assert answer.status == 200
                return
        except URLError:
            assert process.poll() is None, said.read_text(encoding="utf-8")
            assert time.monotonic() < until, said.read_text(encoding="utf-8")
            time.sleep(0.1)


def move_first_slider(page: Page) -> None:
    """Move the page's first slider by one step of the keyboard, to the side where there is room."""
    slider = page.get_by_role("slider").first
    slider.focus()
    full = slider.get_attribute("aria-valuenow") == slider.get_attribute("aria-valuemax")
    page.keyboard.press("ArrowLeft" if full else "ArrowRight")


@pytest.mark.parametrize(
    "notebook",
    [
        pytest.param(path, marks=[pytest.mark.slow] if number else [], id=path.stem)
        for number, path in enumerate(NOTEBOOKS)
    ],
)
def test_it_runs_as_an_app_without_the_network(notebook: Path, browser: Browser, tmp_path: Path) -> None:
    """The app is whole and complains of nothing, its first slider changes what it tells, it asks no other machine."""
    with served(notebook, tmp_path) as address:
        page = browser.new_page()
        page.set_default_timeout(1000 * GIVEN_UP)
        heard = listen(page)
        page.goto(f"http://{address}/")
        # The questions close the page: once they are there everything above them is.
        page.get_by_role("slider").first.wait_for()
        page.get_by_text("Three questions").wait_for()
        page.locator("img").first.wait_for()
        page.wait_for_load_state("networkidle")
        before = page.evaluate(TOLD)
        assert "By the end you can" in before
        move_first_slider(page)
        page.wait_for_function(f"before => ({TOLD})() !== before", arg=before)
        page.wait_for_load_state("networkidle")
        for closed in page.locator("marimo-accordion button").all():
            closed.click()
        page.wait_for_load_state("networkidle")
        for waiting in page.locator("marimo-lazy").all():
            # It is made once it is looked at.
            waiting.evaluate("one => one.scrollIntoView()")
            page.locator("marimo-lazy img").first.wait_for()
        assert page.get_by_text("Traceback").count() == 0
        assert page.get_by_text("failed with exception").count() == 0
        assert page.evaluate(PALEST) >= 7
        page.close()
    assert heard.errors == []
    assert heard.asked
    assert heard.elsewhere(f"http://{address}/", f"ws://{address}/") == []
