"""Where the bar stands that says what was picked: well away from the press that picked it, in a corner or beside what has
to stay in reach. No Kivy.

Drops that fall one after the other fall near one another; so the second press has to come from elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import product

from benchapp.screens.display.sizes import Sizes

#: How wide the bar is, as shares of the glass, the first its words fit on; how far from what was picked, in mm.
WIDTHS, AWAY_MM = (0.33, 0.45, 0.6), 25.0
#: In so many rows from below it may stand before it goes to the top, where cautions and the order are.
HIGHEST = 3

Box = tuple[float, float, float, float]  # left, low, right, top


def place_for(picked: Box, sizes: Sizes, share: float = WIDTHS[0], kept: Sequence[Box] = ()) -> Box:
    """The first place far enough from the picked press: beside what is ``kept`` in reach, the dearest first, in the lowest
    row, where it covers none of it; else there where it covers not the dearest; else a row higher up; else the furthest corner. In pixels."""
    away_px = AWAY_MM * sizes.panel.px_per_mm
    rows = [_row(sizes, n, share, kept) for n in range(HIGHEST)]
    rows.append(_row(sizes, None, share, ()))
    away = [[c for c in row if gap(c, picked) >= away_px] for row in rows]
    for places, free_of in product(away, (kept, kept[:1])):
        for place in places:
            if all(gap(place, k) > 0.0 for k in free_of):
                return place
    return max((*rows[0], *rows[-1]), key=lambda c: gap(c, picked))


def _row(sizes: Sizes, number: int | None, share: float, kept: Sequence[Box]) -> list[Box]:
    """The places in that row from below, or None for the highest: its corners, then beside what is kept."""
    width, height, action, pad = sizes.panel.width, sizes.panel.height, sizes.action, sizes.pad
    wide, end = width * share, width - pad - width * share
    low = height - pad - action if number is None else pad + number * (action + sizes.gap)
    lefts = [float(pad), end]
    for some in (kept, kept[:1]):
        if some:
            lefts += [max(k[2] for k in some) + sizes.gap, min(k[0] for k in some) - sizes.gap - wide]
    return [(x, low, x + wide, low + action) for x in lefts if pad <= x <= end]


def gap(one: Box, other: Box) -> float:
    """How far two boxes are apart at their nearest."""
    across = max(one[0] - other[2], other[0] - one[2], 0.0)
    up = max(one[1] - other[3], other[1] - one[3], 0.0)
    return math.hypot(across, up)
