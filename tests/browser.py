"""A browser for tests of what is read in one: Chromium, driven by playwright, with nothing to say to the network."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field

import pytest
from playwright.sync_api import Browser, Error, Page, sync_playwright

VARIABLE = "LUMSIM_BROWSER"
"""Names the browser's program. Where it is set a browser that does not start is a fault, and nothing is skipped."""

PROGRAMS = ("chromium", "chromium-browser", "google-chrome")
"""Looked for where none is named."""

QUIETLY = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Start the browser for one file of tests, or skip them where there is none."""
    named = os.environ.get(VARIABLE)
    program = named or next((found for found in map(shutil.which, PROGRAMS) if found is not None), None)
    if program is None:
        pytest.skip(f"no browser here ({', '.join(PROGRAMS)}); {VARIABLE} may name one")
    with sync_playwright() as playwright:
        try:
            started = playwright.chromium.launch(executable_path=program, args=QUIETLY)
        except Error as error:
            if named:
                raise
            pytest.skip(f"{program} does not start: {error.message.splitlines()[0]}")
        yield started
        started.close()


@dataclass(slots=True)
class Heard:
    """What a page has said and asked for since it was listened to."""

    errors: list[str] = field(default_factory=list)
    """on its console, or thrown and not caught"""
    asked: list[str] = field(default_factory=list)
    """every address, WebSockets included"""

    def elsewhere(self, *here: str) -> list[str]:
        """Addresses asked for that begin with none of those given, nor are held by the page itself."""
        return [one for one in self.asked if not one.startswith((*here, "data:", "blob:", "about:"))]


def listen(page: Page) -> Heard:
    """Take down what a page says and asks for from here on.

    Parameters
    ----------
    page : Page
        Before it goes anywhere.
    """
    heard = Heard()
    page.on("console", lambda said: heard.errors.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda thrown: heard.errors.append(str(thrown)))
    page.on("request", lambda request: heard.asked.append(request.url))
    page.on("websocket", lambda socket: heard.asked.append(socket.url))
    return heard
