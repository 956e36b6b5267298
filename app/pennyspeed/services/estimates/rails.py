"""The rail beside a figure that was worked out: from half of it to twice."""

from __future__ import annotations

import math

TICK = 8
"""Half the height of the figure's own mark, at 100 % text."""


def place(ratio: float) -> float:
    """Return where a share of the figure stands on the rail, from 0 to 1.

    >>> place(0.5), place(1.0), place(2.0), place(9.0)
    (0.0, 0.5, 1.0, 1.0)
    """
    return min(max(0.5 + 0.5 * math.log2(ratio), 0.0), 1.0)
