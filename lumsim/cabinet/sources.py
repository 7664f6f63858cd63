"""Sources: every LED of every module as a point that shines into a half space."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from lumsim.beams.beam import Beam
from lumsim.beams.tables import sharpness_of
from lumsim.cabinet.modules import Emitters, led_places
from lumsim.cabinet.orientation import mirrored

__all__ = ["Half", "Sources", "sources_of"]

Array = NDArray[np.float64]


class Half(NamedTuple):
    """One half space of a beam: the one in front of the module, or the one behind it."""

    beam: Beam
    backward: bool

    @property
    def share(self) -> float:
        """Of the beam's flux. [1]"""
        ahead = self.beam.forward_share
        # What rounding leaves of a half without light is none.
        ahead = 1.0 if ahead > 1 - 1e-12 else 0.0 if ahead < 1e-12 else ahead
        return 1 - ahead if self.backward else ahead

    @property
    def sharpness(self) -> float:
        """Of this half, see ``Beam.sharpness``. [1]"""
        return _sharpness_behind(self) if self.backward else self.beam.sharpness

    def intensity(self, theta: Array, phi: Array) -> Array:
        """Intensity for one lumen of this half, by the angles from its own axis. [cd/lm]

        Parameters
        ----------
        theta, phi : arrays that broadcast
            From 0 to π/2, and around. [rad]
        """
        return self.beam.intensity(np.pi - theta if self.backward else theta, phi) / self.share


@lru_cache(maxsize=64)
def _sharpness_behind(half: Half) -> float:
    theta, phi = np.linspace(0, np.pi / 2, 181), np.linspace(0, 2 * np.pi, 73)
    return sharpness_of(theta, half.intensity(theta, phi[:, None]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sources:
    """Points of light, one array element each, each of which shines into the half space that its axis points to."""

    x: Array
    """(n,) [m]"""
    y: Array
    """(n,) [m]"""
    z: Array
    """(n,) above the back [m]"""
    flux: Array
    """(n,) into its half space [lm]"""
    frames: Array
    """(n, 3, 3) unit vectors: the beam's 0 degree direction, its 90 degree direction, its axis; any handedness"""
    half: NDArray[np.intp]
    """(n,) which of ``halves``"""
    halves: tuple[Half, ...]

    def __len__(self) -> int:
        return len(self.x)

    @property
    def upright(self) -> NDArray[np.bool_]:
        """(n,) which shine straight at the face at z = depth."""
        return np.asarray(self.frames[:, 2, 2] == 1)

    @property
    def axial(self) -> NDArray[np.bool_]:
        """(n,) whose beam is alike all round its axis."""
        return np.array([half.beam.axial for half in self.halves], dtype=bool)[self.half]

    @property
    def closed(self) -> NDArray[np.bool_]:
        """(n,) whose beam is a sum of cosine powers."""
        return np.array([bool(half.beam.terms) for half in self.halves], dtype=bool)[self.half]

    def only(self, chosen: NDArray[np.bool_]) -> Sources:
        """Those that are chosen, (n,)."""
        arrays = {name: getattr(self, name)[chosen] for name in Sources.__slots__ if name != "halves"}
        return Sources(**arrays, halves=self.halves)

    def mirrored(self, depth: float) -> Sources:
        """The same in a mirror midway along the depth: as if the rear face were at z = depth. [m]"""
        return Sources(
            x=self.x,
            y=self.y,
            z=depth - self.z,
            flux=self.flux,
            frames=mirrored(self.frames),
            half=self.half,
            halves=self.halves,
        )


def sources_of(emitters: Emitters) -> Sources:
    """Every LED of placed modules, one after the other; first all light ahead, then what goes backward.

    Parameters
    ----------
    emitters : Emitters
    """
    halves: dict[Half, int] = {}
    parts: list[dict[str, Array]] = [
        {name: np.zeros(0) for name in ("x", "y", "z", "flux")}
        | {"frames": np.zeros((0, 3, 3)), "half": np.zeros(0, dtype=np.intp)}
    ]
    for number, kind in enumerate(emitters.kinds):
        chosen = emitters.kind == number
        if not chosen.any():
            continue
        for way in (True, False):
            share = emitters.front_share[chosen] if way else 1 - emitters.front_share[chosen]
            lit = share > 0
            if not lit.any():
                continue
            frames = emitters.frames[chosen][lit]
            frames = frames if way else mirrored(frames)
            flux = emitters.flux[chosen][lit] * share[lit] / len(kind.leds)
            places = emitters.places[chosen][lit]
            for backward in (False, True):
                half = Half(kind.beam, backward)
                if not half.share > 0:
                    continue
                index = halves.setdefault(half, len(halves))
                # Behind its plane a module's beam is told by its opposite axis.
                turned = frames * np.array([1.0, 1.0, -1.0])[:, None] if backward else frames
                for x, y, z in led_places(kind, places, frames).transpose(1, 2, 0):
                    parts.append(
                        {
                            "x": x,
                            "y": y,
                            "z": z,
                            "flux": flux * half.share,
                            "frames": turned + 0.0,
                            "half": np.full(len(x), index, dtype=np.intp),
                        }
                    )
    return Sources(
        **{name: np.concatenate([part[name] for part in parts]) for name in parts[0]},
        halves=tuple(halves),
    )
