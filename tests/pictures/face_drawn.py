"""A face drawn, and where things are on it."""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.text import Text

from lumsim.cabinet.cabinet import Side
from lumsim.pictures.face_map import draw_face
from lumsim.simulation import Simulation
from lumsim.units import Units


def drawn(
    simulation: Simulation,
    units: Units = "in",
    title: str = "Larkspur Street Library",
    *,
    side: Side | None = None,
) -> Figure:
    """Draw a face under an ordinary title and two facts."""
    return draw_face(
        simulation,
        title=title,
        units=units,
        facts=["max/min 2.09 · stripes 1.17", "direct light only"],
        side=side,
    )


def axes_of(figure: Figure, label: str) -> Axes:
    """Find axes by their label."""
    (found,) = [axes for axes in figure.axes if axes.get_label() == label]
    return found


def on_face(figure: Figure, text: Text) -> tuple[float, float]:
    """Return the place on the face at which a text is centred, in the axes' unit."""
    x, y = text.get_transform().transform(text.get_position())
    at = axes_of(figure, "face").transData.inverted().transform((x, y))
    return float(at[0]), float(at[1])
