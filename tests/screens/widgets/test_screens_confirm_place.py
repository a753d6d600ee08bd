"""Where the bar that is held to confirm stands."""

from __future__ import annotations

import pytest

from benchapp.screens.display.sizes import PANELS, Sizes
from benchapp.screens.widgets.confirm_place import AWAY_MM, WIDTHS, gap, place_for


@pytest.mark.parametrize("panel", PANELS, ids=lambda p: p.name)
def test_the_bar_stands_away_from_whatever_picked_it_and_on_the_glass(panel):
    sizes = Sizes.of(panel)
    for x in range(0, panel.width, 40):
        for y in range(0, panel.height, 40):
            for share in WIDTHS:
                bar = place_for((x, y, x, y), sizes, share)
                assert gap(bar, (x, y, x, y)) >= AWAY_MM * panel.px_per_mm
                assert min(bar) >= 0
                assert bar[2] <= panel.width
                assert bar[3] <= panel.height
