"""What the tests of notebooks share."""

from tests.browser import browser

__all__ = ["browser"]
