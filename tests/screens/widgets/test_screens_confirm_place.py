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


@pytest.mark.parametrize("panel", PANELS, ids=lambda p: p.name)
def test_what_stops_a_make_stays_in_reach_beside_the_bar(panel):
    """Three presses at the left of the lowest row, as a make has them; one was picked at the right of it."""
    sizes = Sizes.of(panel)
    side = sizes.action
    kept = [
        (sizes.pad + n * side, sizes.pad, sizes.pad + (n + 0.9) * side, sizes.pad + side) for n in range(3)
    ]
    picked = (panel.width - 2.0 * side, sizes.pad + side / 2)
    bar = place_for((*picked, *picked), sizes, WIDTHS[0], kept)
    assert gap(bar, (*picked, *picked)) >= AWAY_MM * panel.px_per_mm, "well away, whatever is kept"
    free = panel.width - kept[-1][2] - 2 * sizes.gap - AWAY_MM * panel.px_per_mm - 2.0 * side
    if free > panel.width * WIDTHS[0]:
        assert all(gap(bar, k) > 0 for k in kept)
