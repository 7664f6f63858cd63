"""What if: of many losses the worst is found, and the face after it is the face without those modules."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import Cabinet
from lumsim.sheet.failures import Loss, worst_of
from lumsim.sheet.strings import row_strings, with_light
from lumsim.simulation import Lighting, simulate
from lumsim.study.reading import study_from_text
from lumsim.uniformity.requirement import Requirement

SIGN = """
[cabinet]
width = "24 in"
height = "15 in"
depth = "5 in"
[face]
transmittance = 0.4
reflectance = 0.4
visible_border = "1 in"
[modules.standard]
lumens = 60.0
[[rows]]
at = ["3 in", "8 in", "12 1/2 in"]
module_pitch = "6 in"
"""
QUICK = Lighting(patches_in_depth=4)


@pytest.fixture
def sign() -> Cabinet:
    """Three rows of four modules that are no one's mirror image across the height."""
    return study_from_text(SIGN).cabinet


def rows_dead(cabinet: Cabinet) -> list[Loss]:
    """Return each row dead in turn."""
    return [Loss(kind="row", what=f"row {one.number}", modules=one.modules) for one in row_strings(cabinet)]


@pytest.mark.parametrize("limit", [{}, {"stripe_max_to_min": 1.2}, {"min_luminance": 400.0}])
@pytest.mark.parametrize("ageing", [None, Ageing(maintenance_factor=0.8, dirt_factor=0.9)])
def test_the_worst_loss_is_the_worst_of_all_simulated_whole(
    sign: Cabinet, limit: dict[str, float], ageing: Ageing | None
) -> None:
    """Each loss simulated whole by itself: none stands lower than the one that is told, and that stands as told."""
    requirement = Requirement(**limit, stripe_window=sign.stripe_window)
    losses = rows_dead(sign) + [
        Loss(kind="module", what=f"module {number}", modules=(number,)) for number in (0, 1, 5, 11)
    ]
    found = worst_of(sign, Requirement(**limit), losses, lighting=QUICK, ageing=ageing)
    assert found is not None
    assert found.tried is not None
    assert (found.looked_at, found.finished) == (len(losses), True)

    def stands(loss: Loss) -> tuple[float, float]:
        shares = np.ones(sign.modules)
        shares[list(loss.modules)] = 0
        lit = simulate(with_light(sign, shares), requirement, lighting=QUICK, ageing=ageing).deciding
        tightest = lit.verdict.tightest
        return (
            0.0 if tightest is None else -tightest.margin,
            lit.evenness.max_to_min,
        )

    told = stands(found.loss)
    assert told[0] >= max(stands(loss)[0] for loss in losses) - 2e-3
    assert found.tried.evenness.max_to_min == pytest.approx(told[1], rel=1e-6)
    if not limit:
        assert told[1] >= max(stands(loss)[1] for loss in losses) * (1 - 2e-3)


def test_no_light_left_is_worse_than_anything(sign: Cabinet) -> None:
    """The only row dead leaves nothing to light; without losses there is nothing to tell."""
    only = replace(
        sign, groups=study_from_text(SIGN.replace('"3 in", ', "").replace(', "12 1/2 in"', "")).cabinet.groups
    )
    one = Loss(kind="module", what="module 1", modules=(0,))
    found = worst_of(only, Requirement(), [one, *rows_dead(only)], lighting=QUICK)
    assert found is not None
    assert (found.loss.what, found.tried) == ("row 1", None)
    assert worst_of(sign, Requirement(), [], lighting=QUICK) is None


def test_what_is_left_may_be_told_of_each_module(sign: Cabinet) -> None:
    """Of each module by itself, or of all alike: the face after it is the face with those shares of light."""
    row = row_strings(sign)[1]
    left = tuple((0.2 * number, 0.2 * number) for number in range(row.count))
    found = worst_of(
        sign, Requirement(), [Loss(kind="joint", what="", modules=row.modules, left=left)], lighting=QUICK
    )
    shares = np.ones(sign.modules)
    shares[list(row.modules)] = [one for one, _ in left]
    asked = Requirement(stripe_window=sign.stripe_window)
    assert found is not None
    assert found.tried is not None
    assert found.tried.evenness.max_to_min == pytest.approx(
        simulate(with_light(sign, shares), asked, lighting=QUICK).evenness.max_to_min, rel=1e-9
    )


@pytest.mark.parametrize("ageing", [None, Ageing(maintenance_factor=0.8, dirt_factor=0.9)])
def test_a_dead_module_beside_dim_and_dark_ones_is_the_right_one(
    sign: Cabinet, ageing: Ageing | None
) -> None:
    """Of modules that the wire leaves unlike shares, some none: the worst is that of all of them lit without it."""
    shares = np.linspace(0.5, 1.0, sign.modules)
    shares[[0, 5]] = 0.0
    lit = [number for number in range(sign.modules) if shares[number] > 0]
    losses = [Loss(kind="module", what=str(number), modules=(number,)) for number in lit]
    found = worst_of(sign, Requirement(), losses, shares=shares, lighting=QUICK, ageing=ageing)
    asked = Requirement(stripe_window=sign.stripe_window)

    def without(number: int) -> float:
        left = shares.copy()
        left[number] = 0.0
        one = simulate(with_light(sign, left), asked, lighting=QUICK, ageing=ageing)
        return one.deciding.evenness.max_to_min

    worst = max(lit, key=without)
    assert found is not None
    assert found.loss.modules == (worst,)
    assert found.tried is not None
    assert found.tried.evenness.max_to_min == pytest.approx(without(worst), rel=1e-6)


def test_a_face_without_any_light_is_worse_than_anything() -> None:
    """Direct light only, and the side that shines at the rear face dead: nothing arrives there."""
    two = study_from_text(SIGN.replace('depth = "5 in"', 'depth = "8 in"\nfaces = 2')).cabinet
    everything = tuple(range(two.modules))
    losses = [
        Loss(kind="supply", what="half", modules=everything, left=(0.5, 0.5)),
        Loss(kind="supply", what="rear", modules=everything, left=(1.0, 0.0)),
    ]
    found = worst_of(two, Requirement(), losses, lighting=Lighting(direct_only=True))
    assert found is not None
    assert (found.loss.what, found.tried) == ("rear", None)


def test_stripes_are_averaged_over_the_rows_as_drawn(sign: Cabinet) -> None:
    """A dark row does not widen the window that its stripes are averaged over."""
    laid = study_from_text(SIGN.replace('at = ["3 in", "8 in", "12 1/2 in"]', 'pitch = "5 in"')).cabinet
    found = worst_of(laid, Requirement(stripe_max_to_min=1.2), rows_dead(laid), lighting=QUICK)
    assert found is not None
    assert found.tried is not None
    assert found.tried.evenness.window == laid.stripe_window


def test_stopped_the_worst_so_far_is_told(sign: Cabinet) -> None:
    """Ctrl-C leaves the worst of what was looked at, marked unfinished; before the first there is nothing to tell."""

    def stop_at(share: float) -> None:
        def progress(done: float, _: str) -> None:
            if done >= share:
                raise KeyboardInterrupt

        found = worst_of(sign, Requirement(), rows_dead(sign), lighting=QUICK, progress=progress)
        assert found is not None
        assert (found.looked_at, found.finished) == (2, False)

    stop_at(0.5)
    with pytest.raises(KeyboardInterrupt):
        stop_at(0.0)
