"""The presses of a view at the bottom of the glass: one row where they fit, two on an upright panel."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import TouchButton

#: How much wider than a plain one, where there is room.
SHARES = {"main": 1.6, "serious": 1.25, "plain": 1.0}
#: More than this in one row of an upright panel, and there are two.
UPRIGHT_ROW = 4


def rows_of(
    sizes: Sizes, choices: Sequence[TouchButton], always: Sequence[TouchButton]
) -> list[list[TouchButton]]:
    """The rows from the bottom up. ``always`` are the presses that are there at every view, the dearest first.

    On a panel too narrow for all, the last of ``always`` are left out: they stand in "More" too.
    """
    panel = sizes.panel
    if panel.portrait and len(choices) + len(always) > UPRIGHT_ROW:
        return [list(always), list(choices)]
    kept = list(always)
    room = panel.width - 2 * sizes.pad
    while len(kept) > 1 and _needed(sizes, [*kept, *choices]) > room:
        kept.pop()
    if _needed(sizes, [*kept, *choices]) > room:
        for press in (*kept, *choices):
            press.shrink(sizes.small)
    return [[*kept, *choices]]


def _needed(sizes: Sizes, row: Sequence[TouchButton]) -> float:
    return sum(_wide(sizes, p) for p in row) + sizes.gap * (len(row) - 1)


def _wide(sizes: Sizes, press: TouchButton) -> float:
    return max(press.width_for(sizes.action), sizes.action)


def lay_rows(sizes: Sizes, rows: Sequence[Sequence[TouchButton]], left_handed: bool) -> float:
    """Put them in place; returns where the highest row ends. The plain yes lies under the hand: right, or left."""
    y = float(sizes.pad)
    for row in rows:
        ordered = list(reversed(row)) if left_handed else list(row)
        spare = sizes.panel.width - 2 * sizes.pad - _needed(sizes, row)
        shares = [SHARES[p.kind] for p in ordered]
        x = float(sizes.pad)
        for press, share in zip(ordered, shares, strict=True):
            wide = _wide(sizes, press) + spare * share / sum(shares)
            press.size, press.pos = (wide, sizes.action), (x, y)
            x += wide + sizes.gap
        y += sizes.action + sizes.gap
    return y - sizes.gap
