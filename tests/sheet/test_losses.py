"""What may fail of a sign takes from its modules what it feeds, carries or is."""

from __future__ import annotations

import numpy as np
import pytest

from lumsim.sheet.failures import worst_of
from lumsim.sheet.losses import joint_losses, module_losses, string_losses, supply_losses
from lumsim.sheet.wiring import with_joint_open
from lumsim.simulation import Lighting
from lumsim.study.reading import Study, study_from_text
from tests.sheet.signs import POWER, SIGN, STRING, built

QUICK = Lighting(patches_in_depth=4)


def study_of(power: str, faces: int = 1) -> Study:
    """Return the sign with so many faces."""
    text = SIGN if faces == 1 else SIGN.replace("[face]", "faces = 2\n[face]").replace('"6 in"', '"9 in"', 1)
    return study_from_text(text + STRING + power)


@pytest.mark.parametrize("circuits", [1, 2, 3])
@pytest.mark.parametrize("faces", [1, 2])
@pytest.mark.parametrize("interleaved", ["false", "true"])
def test_all_supplies_dead_take_all_the_light_once(circuits: int, faces: int, interleaved: str) -> None:
    """What the supplies take one by one adds up to all the light of every module, each way."""
    power = f"[power]\nsupply_watts = 12.0\ncircuits_a_row = {circuits}\ninterleaved = {interleaved}\n"
    study = study_of(power, faces)
    found = built(study)
    losses = supply_losses(found, study.cabinet)
    lost = np.zeros((study.cabinet.modules, 2))
    for loss in losses:
        lost[list(loss.modules)] += 1 - np.array(loss.left)
    np.testing.assert_allclose(lost, 1.0, rtol=1e-12)
    assert len(losses) > 1


def test_of_two_circuits_between_two_faces_each_lights_one() -> None:
    """A supply that feeds the first circuit of a row and not the second darkens the front side of its modules."""
    study = study_of("[power]\nsupply_watts = 6.0\ncircuits_a_row = 2\n", faces=2)
    found = built(study)
    (first, second, *_) = supply_losses(found, study.cabinet)
    assert [found.fed_by[0], found.fed_by[1]] == [(1, 2), (3, 4)]
    assert set(first.left) == {(0.0, 1.0)}
    assert set(second.left) == {(1.0, 0.0)}
    assert first.modules == second.modules == found.parts[0].modules
    one_face = study_of("[power]\nsupply_watts = 6.0\ncircuits_a_row = 2\n")
    (half, *_) = supply_losses(built(one_face), one_face.cabinet)
    assert set(half.left) == {(0.5, 0.5)}


def test_a_row_on_a_return_between_two_faces_shares_its_circuits_evenly() -> None:
    """Its modules shine one way only, so that either circuit is half of the light of each."""
    edge = '[[rows]]\non = "left"\ncount = 1\nmodule_count = 3\n'
    study = study_from_text(
        SIGN.replace("[face]", "faces = 2\n[face]").replace('"6 in"', '"9 in"', 1)
        + edge
        + "[power]\nsupply_watts = 6.0\ncircuits_a_row = 2\n"
    )
    found = built(study)
    of_edge = set(found.rows[-1].modules)
    lefts = [
        left
        for loss in supply_losses(found, study.cabinet)
        for module, left in zip(loss.modules, loss.each_left, strict=True)
        if module in of_edge
    ]
    assert set(lefts) <= {(0.5, 0.5), (0.0, 0.0)}
    assert lefts


def test_what_a_long_wire_kept_dark_may_shine_when_a_joint_comes_apart() -> None:
    """Drivers below their drop-out at the far end; with that gone the wire drops less, and more modules shine."""
    joined = STRING.replace("30", "10") + "most_joints = 1\n"
    driver = "[modules.standard.electrics]\ndrop_out = 11.0\n"
    study = study_from_text(SIGN + joined + driver + POWER + 'string_wire = "36 AWG"\nfeed_length = "1 in"\n')
    found = built(study)
    assert found.wired is not None
    assert study.sheet.wiring is not None
    whole = np.count_nonzero(found.wired[0].shares)
    loss = joint_losses(found, study.sheet.electrics, study.sheet.wiring)[0]
    (before,) = found.joints(0)
    assert whole < np.count_nonzero(np.array(loss.each_left)[:, 0]) <= before


def test_interleaved_a_dead_supply_hurts_less_than_in_blocks() -> None:
    """Every second row dark leaves the face evener than one half of it dark."""
    worst = {}
    for interleaved in ("false", "true"):
        study = study_of(f"[power]\nsupply_watts = 25.0\ninterleaved = {interleaved}\n")
        found = worst_of(
            study.cabinet, study.requirement, supply_losses(built(study), study.cabinet), lighting=QUICK
        )
        assert found is not None
        assert found.tried is not None
        worst[interleaved] = found.tried.evenness.max_to_min
    assert worst["true"] < 0.75 * worst["false"]


def test_joints_take_what_they_cut_off() -> None:
    """Rows of two sections fed at their left end: what is right of the joint goes, as the string by itself says."""
    joined = STRING.replace("30", "10") + "most_joints = 1\n"
    study = study_from_text(SIGN + joined + POWER)
    found = built(study)
    wiring = study.sheet.wiring
    assert wiring is not None
    assert found.wired is not None
    losses = joint_losses(found, study.sheet.electrics, wiring)
    assert len(losses) == sum(len(found.joints(number)) for number in range(len(found.parts))) == 4
    (before,) = found.joints(0)
    left = np.array(losses[0].left)[:, 0].tolist()
    assert left == [1.0] * before + [0.0] * (12 - before)
    electrics = study.sheet.electrics["standard"]
    shares = with_joint_open(found.wired[0], electrics, wiring, found.pitches["standard"], before=before)
    np.testing.assert_allclose(left, shares / found.wired[0].shares, rtol=1e-15)
    assert losses[0].what == f"the joint before module {before + 1} of row 1"


def test_one_of_each_mirrored_module_is_looked_at_and_dark_ones_are_not() -> None:
    """Of 48 modules in mirror image both ways 12 stand for all; one dark breaks the mirrors, and 47 are left."""
    study = study_of(POWER)
    rows = built(study).rows
    shares = np.ones(study.cabinet.modules)
    assert len(module_losses(study.cabinet, rows, shares)) == 12
    shares[5] = 0.0
    losses = module_losses(study.cabinet, rows, shares)
    assert sorted(loss.modules[0] for loss in losses) == [number for number in range(48) if number != 5]
    assert {loss.left for loss in losses} == {(0.0, 0.0)}
    shares[6:] = 0.0
    assert len(module_losses(study.cabinet, rows, np.where(np.arange(48) == 3, 1.0, 0.0))) == 0


def test_a_row_in_parts_may_lose_one_of_them() -> None:
    """Strings that are fed by themselves fail by themselves."""
    found = built(study_of("[power]\nsupply_watts = 6.0\n"))
    assert [loss.what for loss in string_losses(found.parts)][:3] == ["row 1.1", "row 1.2", "row 2.1"]
    assert string_losses(found.parts[:1]) == []
