"""How far the light of a very small square is from the light of a point."""

from __future__ import annotations

import numpy as np

from lumsim.cabinet.cabinet import Cabinet

__all__ = ["SIDE", "error_by_size"]

SIDE = 2e-4
"""Of the square that stands for a module. [m]"""


def error_by_size(cabinet: Cabinet, side: float = SIDE) -> float:
    """Bound on how far squares in place of points move the illuminance anywhere in a cabinet, relative.

    A Lambertian square casts the mean of what points all over it would cast. Averaging a function K of the
    place over a square of side s adds s²/24 ∇²K to it, to the next order in s². For the light of a Lambertian
    point on a wall, K = cos θ cos β / π d²:

    - on the face, h away: K ~ h² / (h² + r²)² and ∇²K/K = 16/d² − 24 h²/d⁴,
    - on a return, c away: K ~ h c / (c² + b² + h²)² and ∇²K/K = 8/d² − 24 h²/d⁴,

    both between −8/p² and +8/p² for a wall p away, hence the bound s²/3p² for the nearest wall. Light that is
    thrown back is a sum, with no negative terms, over direct light, and so within the same bound.

    Parameters
    ----------
    cabinet : Cabinet
        Its modules are nowhere nearer to faces and returns than some ``side``. [m]
    side : float
        s [m]
    """
    box, at = cabinet.box, cabinet.emitters()
    to_returns = np.concatenate([at.x, box.width - at.x, at.y, box.height - at.y])
    nearest = np.min(np.concatenate([to_returns, *(cabinet.throws(side) for side, _ in cabinet.faces)]))
    return float(side**2 / (3 * nearest**2))
