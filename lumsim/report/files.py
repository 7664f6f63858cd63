"""Files: every one written whole or not at all."""

from __future__ import annotations

import contextlib
import io
import os
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from lumsim.errors import InputError, OutputError

if TYPE_CHECKING:
    # A file is written also where nothing is lit, and then no loop should be compiled for it.
    from lumsim.cabinet.cabinet import Side
    from lumsim.simulation import Simulation

__all__ = [
    "MAP_SUFFIXES",
    "PICTURE_SUFFIXES",
    "map_bytes",
    "refuse_ending",
    "refuse_no_folder",
    "refuse_unwritable",
    "write_whole",
]

PICTURE_SUFFIXES = (".png", ".svg", ".pdf")
"""How a picture can be written."""

MAP_SUFFIXES = (*PICTURE_SUFFIXES, ".csv", ".npz")
"""How a map of the face can be written."""


def refuse_unwritable(path: Path) -> None:
    """Refuse a file that cannot be written for want of its folder, before the work that it is to hold.

    Raises
    ------
    OutputError
        Where the path is a folder itself, or its folder is missing.
    """
    if path.is_dir():
        raise OutputError(f"{path} is a folder: name a file")
    if not path.parent.is_dir():
        raise OutputError(f"{path} cannot be written: there is no folder {path.parent}")


def refuse_no_folder(path: Path) -> None:
    """Refuse a folder to write to that can neither be used nor made, before the work that it is to hold.

    Raises
    ------
    OutputError
        Where it is a file, or the folder that it is to be in is missing.
    """
    if path.exists() and not path.is_dir():
        raise OutputError(f"{path} is a file: name a folder for the answers")
    if not path.exists() and not path.parent.is_dir():
        raise OutputError(f"{path} cannot be made: there is no folder {path.parent}")


def refuse_ending(path: Path, *suffixes: str, option: str, what: str) -> None:
    """Refuse a file whose name does not end as what it is to hold.

    Parameters
    ----------
    path : Path
    *suffixes : str
        That it may end in, such as ``.png``.
    option : str
        Of the command line that names it, for the message.
    what : str
        It is to hold.

    Raises
    ------
    InputError
    """
    if path.suffix.lower() not in suffixes:
        raise InputError(f"{option} {path}: {what} is written as {' or '.join(suffixes)}")


def write_whole(path: Path, content: bytes, *, overwrite: bool = True) -> None:
    """Write a file whole, or leave what stands there untouched.

    The content goes to a file beside it first, which then takes its name in one step.

    Parameters
    ----------
    path : Path
    content : bytes
    overwrite : bool
        Whether a file that is there may be replaced.

    Raises
    ------
    OutputError
        Where it cannot be written, or is there and may not be replaced.
    """
    refuse_unwritable(path)
    if not overwrite and path.exists():
        raise OutputError(f"{path} is there already: name another file, or take it away first")
    if path.exists() and not path.is_file():
        # A device such as /dev/stdout cannot be replaced, only written to.
        try:
            path.write_bytes(content)
        except OSError as error:
            raise OutputError(f"{path} cannot be written: {error.strerror or error}") from None
        return
    temporary = ""
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask()
        Path(temporary).chmod(mode)
        Path(temporary).replace(path.resolve())
    except OSError as error:
        raise OutputError(f"{path} cannot be written: {error.strerror or error}") from None
    finally:
        if temporary:
            with contextlib.suppress(OSError):
                Path(temporary).unlink()


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def map_bytes(simulation: Simulation, suffix: str, *, side: Side | None = None) -> bytes:
    """One face's samples as CSV or NPZ, at places as seen from in front also on the rear face.

    CSV: one line a sample, ``x_m,y_m,illuminance_lx,luminance_cd_m2``, rows of rising y, nine significant
    digits; of a double-sided cabinet the last two names begin with the side, such as ``rear_illuminance_lx``.
    NPZ: arrays ``x_m`` (nx,), ``y_m`` (ny,), ``illuminance_lx`` and ``luminance_cd_m2`` (ny, nx), and ``face``,
    the side as text.

    Parameters
    ----------
    simulation : Simulation
    suffix : str
        ``.csv`` or ``.npz``.
    side : {"front", "rear"}, optional
        Which face; unless said, the worse of two.

    Raises
    ------
    InputError
        For any other suffix, and for the rear of a single-faced cabinet.
    """
    lit = simulation.on(side)
    face, behind = lit.luminance, lit.illuminance(1.0)
    if suffix == ".npz":
        packed = io.BytesIO()
        np.savez_compressed(
            packed,
            x_m=face.x,
            y_m=face.y,
            illuminance_lx=face.values * behind,
            luminance_cd_m2=face.values,
            face=np.array(lit.side),
        )
        return packed.getvalue()
    if suffix == ".csv":
        x, y = np.meshgrid(face.x, face.y)
        table = np.column_stack([x.ravel(), y.ravel(), (face.values * behind).ravel(), face.values.ravel()])
        text = io.StringIO()
        which = f"{lit.side}_" if simulation.cabinet.double_sided else ""
        header = f"x_m,y_m,{which}illuminance_lx,{which}luminance_cd_m2"
        np.savetxt(text, table, fmt="%.9g", delimiter=",", header=header, comments="")
        return text.getvalue().encode()
    raise InputError(
        f"a map is written as {', '.join(MAP_SUFFIXES)}, not as {suffix or 'a file without an ending'}"
    )
