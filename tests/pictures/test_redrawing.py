"""What a process that only redraws need not look through."""

from __future__ import annotations

import gc
import weakref

from lumsim.pictures.redrawing import redraw_without_pauses


class Ring:
    """Something that refers to itself, as drawn pictures do."""

    def __init__(self) -> None:
        self.itself = self


def test_what_is_loaded_is_not_looked_through_again_and_later_garbage_still_goes() -> None:
    """Nothing that was there is left to look through; of what is made later, garbage that refers to itself goes."""
    try:
        redraw_without_pauses()
        assert gc.get_freeze_count() > 10_000
        assert len(gc.get_objects()) < 1000
        ring = weakref.ref(Ring())
        assert ring() is not None
        gc.collect()
        assert ring() is None
    finally:
        gc.unfreeze()
