"""Where the ways out of too much lie: rows beside the work, or under it on an upright glass."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import TouchButton

#: The share of the width that the work has beside them.
BESIDE_ROWS = 0.44


class Box(NamedTuple):
    """A part of the glass, in pixels."""

    left: float
    right: float
    low: float
    top: float

    @property
    def wide(self) -> float:
        """How wide it is."""
        return self.right - self.left


def lay_remedies(s: Sizes, rows: Sequence[TouchButton], box: Box) -> Box:
    """Remedies under each other, the best first, the last apart; returns what is left for the work."""
    each, area = float(s.action), box
    high = each * len(rows) + s.gap * len(rows) + 2 * s.gap
    if s.panel.portrait:
        box = box._replace(low=box.low + high)
        top = area.low + high - s.gap
    else:
        left = box.left + box.wide * BESIDE_ROWS
        area, box, top = (
            box._replace(left=left),
            box._replace(right=left - 1.5 * s.gap),
            box.top - 0.6 * s.gap,
        )
        each += max((top - box.low - high) / len(rows), 0.0)
    for n, row in enumerate(rows):
        apart = 2 * s.gap if n == len(rows) - 1 and len(rows) > 1 else 0.0
        row.size = (area.wide, each)
        row.pos = (area.left, top - (n + 1) * each - n * s.gap - apart)
    fonts = (f for f in (*s.ladder[:3], *(row.detail.font_size for row in rows[:1] if row.detail)))
    for font in fonts:  # what comes of each, as large as all of them have room for
        if all([row.detail_fits(font) for row in rows]):
            break
    return box
