"""Where the bar stands that says what was picked: well away from the press that picked it, in a corner or beside what has
to stay in reach. No Kivy.

Drops that fall one after the other fall near one another; so the second press has to come from elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from benchapp.screens.display.sizes import Sizes

#: How wide the bar is, as shares of the glass, the first its words fit on; how far from what was picked, in mm.
WIDTHS, AWAY_MM = (0.33, 0.45, 0.6), 25.0

Box = tuple[float, float, float, float]  # left, low, right, top


def place_for(picked: Box, sizes: Sizes, share: float = WIDTHS[0], kept: Sequence[Box] = ()) -> Box:
    """The first place far enough from the picked press: in the lowest row beside what is ``kept`` in reach, where it covers
    none of it, else in a corner, the lower ones first; else the furthest corner. In pixels."""
    width, height, action, pad = sizes.panel.width, sizes.panel.height, sizes.action, sizes.pad
    per_mm, wide = sizes.panel.px_per_mm, width * share
    lefts = (max(k[2] for k in kept) + sizes.gap, min(k[0] for k in kept) - sizes.gap - wide) if kept else ()
    beside = [(x, pad, x + wide, pad + action) for x in lefts if pad <= x <= width - pad - wide]
    corners = [
        (x, y, x + wide, y + action) for y in (pad, height - pad - action) for x in (pad, width - pad - wide)
    ]
    away = [c for c in (*corners[:2], *beside) if gap(c, picked) >= AWAY_MM * per_mm]
    free = next((c for c in away if all(gap(c, k) > 0.0 for k in kept)), None)
    far = [c for c in corners if gap(c, picked) >= AWAY_MM * per_mm]
    return free or next(iter(far), max(corners, key=lambda c: gap(c, picked)))


def gap(one: Box, other: Box) -> float:
    """How far two boxes are apart at their nearest."""
    across = max(one[0] - other[2], other[0] - one[2], 0.0)
    up = max(one[1] - other[3], other[1] - one[3], 0.0)
    return math.hypot(across, up)
