"""Which row of a photometric file's values is too short or too long, told by where its lines end."""

from __future__ import annotations

__all__ = ["odd_row"]


def odd_row(lines: list[int], rows: int, width: int) -> tuple[int, int, int] | None:
    """Which row of values is too short or too long, where each begins on a line of its own and one alone is wrong.

    Parameters
    ----------
    lines : list of int
        The line of each value, those too many included.
    rows, width : int
        How many rows of how many values are expected; together not as many as there are.

    Returns
    -------
    Its number from 0, the line that it begins in, and how many values it has; None where it cannot be told.
    """
    ends = {k + 1 for k in range(len(lines)) if k + 1 == len(lines) or lines[k] != lines[k + 1]}
    excess, start = len(lines) - rows * width, 0
    for row in range(rows):
        if start + width in ends:
            start += width
            continue
        if len(lines) - start < width:
            return (row, lines[start], len(lines) - start) if start < len(lines) else None
        shifted = all(start + width + excess + k * width in ends for k in range(rows - row))
        return (row, lines[start], width + excess) if shifted and width + excess > 0 else None
    return None
