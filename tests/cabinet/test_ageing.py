"""An aged cabinet: every module gives less, everything inside throws back less, the faces pass as much as before."""

from __future__ import annotations

import math
from dataclasses import fields, replace

import numpy as np
import pytest

from lumsim.cabinet.ageing import Ageing, aged
from lumsim.cabinet.face import Face
from lumsim.errors import InputError
from tests import cabinets

REAR = Face(transmittance=0.3, reflectance=0.6, visible_border=0.02, film_transmittance=0.5)


def test_every_module_gives_a_share_of_its_lumens() -> None:
    """Rows and listed modules alike, each by its own lumens."""
    ageing = Ageing(maintenance_factor=0.7)
    rows = cabinets.in_rows(1, 0.5, 0.1, rows=2, modules=3, lumens=80.0)
    assert aged(rows, ageing).emitters().flux.tolist() == [80.0 * 0.7] * 6
    listed = cabinets.listed(1, 0.5, 0.1, [(0.2, 0.2), (0.7, 0.3)], lumens=np.array([50.0, 90.0]))
    assert aged(listed, ageing).emitters().flux.tolist() == [50.0 * 0.7, 90.0 * 0.7]
    assert aged(listed, ageing).box == listed.box


def test_dirt_lies_on_every_reflectance_and_on_no_transmittance() -> None:
    """Back, four returns and both faces throw back a share of what they did; all else is as new."""
    new = cabinets.listed(1, 0.5, 0.2, [(0.2, 0.2)], z=0.1, front_share=0.5, rear=REAR)
    box = replace(new.box, back_reflectance=0.9, left_return_reflectance=0.1, top_return_reflectance=0.7)
    old = aged(replace(new, box=box), Ageing(dirt_factor=0.8))
    changed = {
        field.name: getattr(box, field.name) * (0.8 if field.name.endswith("reflectance") else 1)
        for field in fields(box)
    }
    assert {field.name: getattr(old.box, field.name) for field in fields(box)} == changed
    assert old.face == replace(new.face, reflectance=new.face.reflectance * 0.8)
    assert old.rear == replace(REAR, reflectance=0.6 * 0.8)
    assert old.emitters().flux.tolist() == new.emitters().flux.tolist()


@pytest.mark.parametrize("name", ["maintenance_factor", "dirt_factor"])
@pytest.mark.parametrize("factor", [0.0, -0.5, 1.01, math.nan])
def test_a_factor_that_is_none_is_refused(name: str, factor: float) -> None:
    """Nought, less, more than all and NaN are refused by name."""
    with pytest.raises(InputError, match=f"{name} must be more than 0 and at most 1, got"):
        Ageing(**{name: factor})
