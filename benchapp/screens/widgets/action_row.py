"""The presses at the bottom of the glass, each kind in its place: what is always there on one side, the plain yes under
the working hand on the other, what else may be answered between or above."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import EDGE, TouchButton

#: How much wider than a plain one, where there is room.
SHARES = {"main": 1.6, "serious": 1.0, "plain": 1.0}
#: No plain press is wider than this share of the glass unless its words on one line are: an empty place stays empty.
WIDEST = 0.2


#: So many of the presses that are always there stay on the fullest glass, too: what is read up close, and what stops the make.
STAYING = 2


def rows_of(
    sizes: Sizes, choices: Sequence[TouchButton], always: Sequence[TouchButton]
) -> list[list[TouchButton]]:
    """The rows from the bottom up. ``always`` are the presses that are there at every view, the dearest first; the last
    of ``choices`` is the plain yes, and stands at the end of the lowest row.

    One row where all fit; upright two at least, so that nothing moves from view to view. On a low glass with no room
    for all, the last of ``always`` is left out.
    """
    panel, room = sizes.panel, sizes.panel.width - 2 * sizes.pad
    if panel.portrait:
        return [*_broken(sizes, choices, room), list(always)]
    kept = list(always)
    if _needed(sizes, [*kept, *choices]) <= room:
        return [[*kept, *choices]]
    if panel.height >= TALL_PX:
        last = list(choices[-1:])
        return [[*kept, *last], *_broken(sizes, choices[:-1], room)]
    while len(kept) > STAYING and _needed(sizes, [*kept, *choices]) > room:
        kept.pop()
    if _needed(sizes, [*kept, *choices]) > room:
        for press in (*kept, *choices):
            press.shrink(sizes.small)
    return [[*kept, *choices]]


#: A glass of so many pixels of height has room for a second row.
TALL_PX = 800


def shrunk(sizes: Sizes, row: Sequence[TouchButton], room: float, steps: int = 3) -> bool:
    """As large words as all presses of a page's row have room for, down so many steps, to those that are read up close; whether
    they have. They begin with the same on every page."""
    if even_widths(sizes, row, room, steps) is not None:
        return True
    for font in sizes.ladder[1:steps]:
        for press in row:
            press.shrink(font)
        if _needed(sizes, row) <= room:
            return True
    return False


def even_widths(sizes: Sizes, row: Sequence[TouchButton], room: float, steps: int = 3) -> list[float] | None:
    """How wide the presses of a page's row are: those that do not keep their own width (``own_width``) all alike, with their words on one line where
    that need not make them small; a filled one may be wider. Their words are then of that size. None where that has no room."""
    for press in row:
        press.edge = EDGE if press.own_width else EDGE + sizes.gap
    large, close = sizes.ladder[1:2], sizes.ladder[2:steps]
    if close:
        close = (round((sizes.between + sizes.note) / 2), *close)
    ways = [(font, one_line) for fonts in (large, close) for one_line in (True, False) for font in fonts]
    for font, one_line in ways:
        for press in row:
            press.shrink(font)
        needed = [max(_asks(sizes, p, one_line), float(sizes.action)) for p in row]
        shared = [n for p, n in zip(row, needed, strict=True) if not p.own_width]
        plain = [n for p, n in zip(row, needed, strict=True) if not p.own_width and p.kind != "main"]
        alike = max(plain or shared or [0.0])
        least = [_shared(p, n, alike) for p, n in zip(row, needed, strict=True)]
        grave = any(p.kind == "serious" for p in row)  # it stands apart from the others
        spare = room - sum(least) - sizes.gap * (len(row) - 1)
        if spare < 0:
            continue
        whole = not any(p.own_width for p in row)  # nothing stands at the left end: the others fill it
        grown = [
            n if p.own_width or grave else n + spare if whole else max(n, WIDEST * room * SHARES[p.kind])
            for p, n in zip(row, least, strict=True)
        ]
        share = min(spare / max(sum(grown) - sum(least), 1.0), 1.0)
        return [n + (g - n) * share for n, g in zip(least, grown, strict=True)]
    for press in row:
        press.edge = EDGE
    return None


def _shared(press: TouchButton, needed: float, alike: float) -> float:
    return needed if press.own_width else max(needed, alike)


def _asks(sizes: Sizes, press: TouchButton, one_line: bool) -> float:
    """How wide a press is in whose frame its words have air."""
    air = 0.0 if press.own_width else sizes.gap
    wrapped = press.width_for(sizes.action) + air
    return max(wrapped, press.one_line() + air) if one_line else wrapped


def _broken(sizes: Sizes, choices: Sequence[TouchButton], room: float) -> list[list[TouchButton]]:
    """As many rows as it takes, the last of them lowest."""
    rows: list[list[TouchButton]] = [[]]
    for press in reversed(choices):
        if rows[-1] and _needed(sizes, [press, *rows[-1]]) > room:
            rows.append([])
        rows[-1].insert(0, press)
    return rows


def _needed(sizes: Sizes, row: Sequence[TouchButton]) -> float:
    return sum(_wide(sizes, p) for p in row) + sizes.gap * (len(row) - 1)


def _wide(sizes: Sizes, press: TouchButton) -> float:
    return max(press.width_for(sizes.action), sizes.action)


def lay_rows(
    sizes: Sizes, rows: Sequence[Sequence[TouchButton]], always: Sequence[TouchButton], left_handed: bool
) -> float:
    """Put them in place; returns where the highest row ends. ``always`` keep their place and width; the others share
    what is left, the plain yes under the hand: right, or left."""
    y = float(sizes.pad)
    room = float(sizes.panel.width - 2 * sizes.pad)
    for row in rows:
        lay_row(sizes, row, always, (y, room), left_handed)
        y += sizes.action + sizes.gap
    return y - sizes.gap


def lay_row(
    sizes: Sizes,
    row: Sequence[TouchButton],
    always: Sequence[TouchButton],
    place: tuple[float, float],
    left_handed: bool = False,
) -> None:
    """One row, ``place`` is where it stands and how much room it has, in pixels."""
    fixed = {id(p) for p in always}
    y, room = place
    spare = room - _needed(sizes, row)
    shares = {id(p): 0.0 if id(p) in fixed else SHARES[p.kind] for p in row}
    whole = sum(shares.values()) or 1.0
    wides = [_wide(sizes, p) for p in row]
    wides = [
        min(wide + spare * shares[id(p)] / whole, max(wide, p.one_line(), WIDEST * SHARES[p.kind] * room))
        for p, wide in zip(row, wides, strict=True)
    ]
    empty = room - sum(wides) - sizes.gap * (len(row) - 1)
    x = float(sizes.pad)
    for n, (press, wide) in enumerate(zip(row, wides, strict=True)):
        if id(press) not in fixed and (n == 0 or id(row[n - 1]) in fixed):
            x += empty  # what answers keeps to the hand's side, however few there are
        left = sizes.panel.width - x - wide if left_handed else x
        press.size, press.pos = (wide, sizes.action), (left, y)
        x += wide + sizes.gap


def lay_page_row(
    sizes: Sizes, row: Sequence[TouchButton], place: tuple[float, float], left: int, grave: int
) -> None:
    """The row of a page, ``place`` is where it stands and how much room it has, in pixels: the first ``left`` at the left
    end, the others at the right, and between them, as far from either, the next ``grave``, which end or throw away: never where going on stands."""
    y, room = place
    wides = even_widths(sizes, row, room)
    if wides is None:
        wides = [_wide(sizes, p) for p in row]
        spare = max(room - sum(wides) - sizes.gap * (len(row) - 1), 0.0)
        if not grave:
            wides = [wide + spare / len(row) for wide in wides]
    empty = room - sum(wides) - sizes.gap * (len(row) - 1)
    x = float(sizes.pad)
    for n, (press, wide) in enumerate(zip(row, wides, strict=True)):
        if n in {left, left + grave}:
            x += empty / 2 if grave else empty
        press.size, press.pos = (wide, sizes.action), (x, y)
        x += wide + sizes.gap
