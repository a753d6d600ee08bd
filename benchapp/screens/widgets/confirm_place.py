"""Where the bar stands that says what was picked: in a corner well away from the press that picked it. No Kivy.

Drops that fall one after the other fall near one another; so the second press has to come from elsewhere.
"""

from __future__ import annotations

import math

from benchapp.screens.display.sizes import Sizes

#: How wide the bar is, as shares of the glass, the first its words fit on; how far from what was picked, in mm.
WIDTHS, AWAY_MM = (0.33, 0.45, 0.6), 25.0

Box = tuple[float, float, float, float]  # left, low, right, top


def place_for(picked: Box, sizes: Sizes, share: float = WIDTHS[0]) -> Box:
    """The first corner far enough from the picked press, the lower ones first; else the furthest. In pixels."""
    width, height, action, pad = sizes.panel.width, sizes.panel.height, sizes.action, sizes.pad
    per_mm, wide = sizes.panel.px_per_mm, width * share
    corners = [
        (x, y, x + wide, y + action) for y in (pad, height - pad - action) for x in (pad, width - pad - wide)
    ]
    return next(
        (c for c in corners if gap(c, picked) >= AWAY_MM * per_mm), max(corners, key=lambda c: gap(c, picked))
    )


def gap(one: Box, other: Box) -> float:
    """How far two boxes are apart at their nearest."""
    across = max(one[0] - other[2], other[0] - one[2], 0.0)
    up = max(one[1] - other[3], other[1] - one[3], 0.0)
    return math.hypot(across, up)
