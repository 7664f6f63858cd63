"""Photometric files read by lumsim and by two general-purpose parsers that share no code with it."""

from __future__ import annotations

from pathlib import Path

import eulumdat_ies
import numpy as np
import photompy
import pytest

from lumsim.beams.lm63 import read_lm63_file, zonal_flux
from tests.beams.written_lm63 import Array, cosine_power, sweep, written

LAMPS, LUMENS, MULTIPLIER = 2, 900.0, 1.25

SECTORS = [sweep(0, 0), sweep(90, 6), sweep(180, 12), sweep(360, 24)]


def lopsided(vertical: Array, horizontal: Array) -> Array:
    """Light that leans to horizontal angle 0 and reaches above the horizontal, (h, v) [cd]."""
    theta, phi = np.meshgrid(np.radians(vertical), np.radians(horizontal))
    return np.asarray(np.round(80 * (1.2 + np.sin(theta) * np.cos(phi)) * (1 + np.cos(theta)), 4))


@pytest.mark.parametrize("edition", ["LM-63-1995", "LM-63-2002", "LM-63-2019"])
@pytest.mark.parametrize("horizontal", SECTORS, ids=lambda one: f"to {one[-1]:g} deg")
def test_photompy_reads_the_same(tmp_path: Path, edition: str, horizontal: Array) -> None:
    """Angles, intensities, lamps, lumens, watts and, within half a per cent at 5 degrees, flux are photompy's too."""
    path = tmp_path / "module.ies"
    vertical = sweep(180, 36)
    candela = lopsided(vertical, horizontal)
    path.write_text(
        written(
            vertical, horizontal, candela, edition=edition, lamps=LAMPS, lumens=LUMENS, multiplier=MULTIPLIER
        )
    )
    ours, theirs = read_lm63_file(path), photompy.IESFile.read(path)
    assert ours.edition == theirs.header.version.value
    assert dict(ours.keywords) == theirs.header.keywords
    assert ours.vertical.tolist() == theirs.photometry.thetas.tolist()
    assert ours.horizontal.tolist() == theirs.photometry.phis.tolist()
    assert ours.candela.tolist() == theirs.photometry.values.tolist()
    assert (ours.lamps, ours.lumens_per_lamp) == (theirs.header.num_lamps, theirs.header.lumens_per_lamp)
    assert ours.watts == theirs.header.input_watts
    assert zonal_flux(ours) == pytest.approx(theirs.photometry.total_optical_power(), rel=5e-3)


@pytest.mark.parametrize("m", [1, 2, 5])
def test_flux_is_photompys_the_more_the_finer_the_angles(tmp_path: Path, m: int) -> None:
    """On cosine powers at every half degree the two fluxes, by different rules, agree to 1e-4."""
    path = tmp_path / "module.ies"
    vertical = sweep(90, 180)
    path.write_text(written(vertical, [0], cosine_power(m, vertical, sweep(0, 0))))
    theirs = photompy.IESFile.read(path).photometry.total_optical_power()
    assert zonal_flux(read_lm63_file(path)) == pytest.approx(theirs, rel=1e-4)


def test_photompy_reads_the_same_tilt_table(tmp_path: Path) -> None:
    """The table of tilted lamps is photompy's too."""
    path = tmp_path / "module.ies"
    table = "INCLUDE\n2\n4\n0 30 60 90\n1 0.98 0.95 0.9"
    path.write_text(written(sweep(90, 9), [0], cosine_power(1, sweep(90, 9), sweep(0, 0)), tilt=table))
    ours, theirs = read_lm63_file(path).tilt, photompy.IESFile.read(path).header.tilt
    assert ours is not None
    assert ours.geometry == theirs.geometry
    assert ours.angles.tolist() == theirs.angles.tolist()
    assert ours.factors.tolist() == theirs.factors.tolist()


@pytest.mark.parametrize("horizontal", SECTORS, ids=lambda one: f"to {one[-1]:g} deg")
def test_eulumdat_ies_reads_the_same(tmp_path: Path, horizontal: Array) -> None:
    """Angles, intensities per 1000 lm, lamps, lumens, watts and sizes in metres are those of eulumdat-ies too."""
    path = tmp_path / "module.ies"
    vertical = sweep(180, 36)
    candela = lopsided(vertical, horizontal)
    given = {
        "lamps": LAMPS,
        "lumens": LUMENS,
        "multiplier": MULTIPLIER,
        "size": (-0.2, -0.3, 0),
    }
    path.write_text(written(vertical, horizontal, candela, **given))  # type: ignore[arg-type]
    ours, theirs = read_lm63_file(path), eulumdat_ies.ies_to_ldt(path)
    planes = theirs.header.mc
    # There the plane at 360 degrees, which is the one at 0, is left out.
    assert planes == len(horizontal) - (horizontal[-1] == 360)
    assert ours.horizontal.tolist()[:planes] == theirs.header.c_angles
    assert ours.vertical.tolist() == theirs.header.g_angles
    assert ours.lumens_per_lamp == theirs.header.lamp_flux[0]
    assert (ours.lamps, ours.watts) == (theirs.header.num_lamps[0], theirs.header.lamp_watt[0])
    assert (1000 * ours.width, 1000 * ours.length) == pytest.approx(
        (theirs.header.width, theirs.header.length), rel=1e-12
    )
    per_lumen = np.array(theirs.intensities) / 1000
    assert ours.candela[:planes] == pytest.approx(per_lumen * LAMPS * LUMENS, rel=1e-12)
