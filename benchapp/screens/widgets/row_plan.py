"""How high the lines of a page of rows are and how large their words: all names of one size, all second lines of one, as large as
all of them together have room for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from kivy.uix.widget import Widget

from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.row_button import RowButton, RowSpec, on_one_line, row_high
from benchapp.screens.widgets.surface import Area

#: No line is higher than its words or this multiple of what is pressed: an empty place stays empty.
HIGH = 1.25

#: So many of the rows that say most are measured to find how many of all have room: a long list has hundreds.
MEASURED = 8

Lines = Sequence[Sequence[RowSpec]]
Widths = Sequence[Sequence[float]]


#: The sizes of a row's name and of its second line, by whether it calls and whether it presses most.
Fonts = dict[tuple[bool, bool], tuple[int, int]]


class LinesPlan(NamedTuple):
    """The sizes of name and second line, by how loud a row is, how high each line is, and how much further lines are apart than
    what stands beside each other, in pixels: so they are read line by line."""

    fonts: Fonts
    highs: list[float]
    apart: float = 0.0


def lines_that_fit(
    sizes: Sizes, rows: Sequence[RowSpec], width: Callable[[RowSpec], float], room: float
) -> int:
    """How many rows stand over each other: as many as can be pressed, and be read in full at the least size; 0 where not even
    one can. ``room`` is how high they may be with their gaps, ``width`` how wide each is, in pixels."""
    s, most = sizes, int((room + sizes.gap) / (sizes.action + sizes.gap))
    longest = sorted(rows, key=lambda x: len(x.label) + len(x.detail), reverse=True)[:MEASURED]
    broad = any(x.broad for x in longest)  # a sentence on a whole line is to be read, where several have room
    for font in (s.note, s.small) if broad else (s.small,):
        needed = (row_high(x, s, (s.note, font), width(x)) for x in longest)
        highs = sorted((max(high, s.action) + s.gap for high in needed), reverse=True)
        highs += [s.action + s.gap] * (most - len(highs))
        down = next((n for n in range(most, 0, -1) if sum(highs[:n]) <= room + s.gap), 0)
        if down > (1 if font > s.small else 0):
            return down
    return 0


def lay_lines(
    page: Widget,
    sizes: Sizes,
    lines: Lines,
    width: Callable[[RowSpec], float],
    area: Area,
    most_high: float = HIGH,
) -> list[RowButton]:
    """Rows on a page, from the top of an area down; what stands beside each other begins level. Returns them. ``most_high``: no line is higher than its
    words or this multiple of what is pressed."""
    widths, laid, y = [[width(x) for x in line] for line in lines], [], area.top
    plan = plan_lines(sizes, lines, widths, area.top - area.low + sizes.gap, most_high)
    for line, wides, high in zip(lines, widths, plan.highs, strict=True):
        buttons = [RowButton(spec, sizes, plan.fonts[spec.calls, spec.first]) for spec in line]
        lay_level(page, sizes, buttons, wides, Area(area.left, y - high, area.width, y))
        laid += buttons
        y -= high + sizes.gap + plan.apart
    return laid


def lay_level(
    page: Widget, sizes: Sizes, buttons: Sequence[RowButton], wides: Sequence[float], area: Area
) -> None:
    """Rows of these widths beside each other, as high as the area; what they say begins level."""
    high = area.top - area.low
    for n, (button, wide) in enumerate(zip(buttons, wides, strict=True)):
        button.size, button.pos = (wide, high), (area.left + n * (wide + sizes.gap), area.low)
        page.add_widget(button)
    for button in buttons:
        button.begin_at((high - max(b.words_high for b in buttons)) / 2)


def plan_lines(sizes: Sizes, lines: Lines, widths: Widths, room: float, most_high: float = HIGH) -> LinesPlan:
    """``room`` is for the lines with a gap under each, in pixels."""
    plan = None
    for fonts in _ways(sizes, lines, widths):
        plan = LinesPlan(fonts, _highs(sizes, lines, widths, fonts))
        if sum(plan.highs) + sizes.gap * len(lines) <= room:
            break
    assert plan is not None
    between, apart = len(lines) - 1, 0.0
    if between and any(len(line) > 1 for line in lines):
        spare = room - sum(plan.highs) - sizes.gap * len(lines)
        apart = min(max(spare, 0.0) / between, float(sizes.gap))
    highs = _spread(sizes, plan.highs, room - apart * between, most_high)
    return plan._replace(highs=highs, apart=apart)


def _ways(sizes: Sizes, lines: Lines, widths: Widths) -> Iterator[Fonts]:
    """The sizes to try, the best first: what calls is read from farthest, names stand on one line, and what they say is no small
    print, as long as that can be."""
    line, between, note, small = sizes.ladder
    read, up_close = (
        ((line, between), (line, note), (between, note)),
        ((round((between + note) / 2), note), (note, note), (line, small), (between, small), (note, small)),
    )
    rows = [
        (spec, wide)
        for row, wides in zip(lines, widths, strict=True)
        for spec, wide in zip(row, wides, strict=True)
    ]

    def whole(name: int, calls: bool = False) -> bool:
        return all(on_one_line(spec, sizes, name, wide) for spec, wide in rows if spec.calls == calls)

    alike = ((line, between), (between, between), *read[1:], (note, note), (note, small))
    loud = [pair for pair in alike if whole(pair[0], calls=True)] or [(note, small)]
    calls = loud if any(spec.calls for spec, _ in rows) else [(note, small)]
    quiet = [
        *(pair for pair in read if whole(pair[0])), (between, note), *(pair for pair in up_close if whole(pair[0])), *up_close
    ]  # fmt: skip
    first = [(spec, wide) for spec, wide in rows if spec.first]
    for called in calls:
        for pair in quiet:
            same = {(True, False): called, (True, True): called, (False, False): pair, (False, True): pair}
            larger = {**same, (True, True): _up(sizes, called), (False, True): _up(sizes, pair)}
            if first and all(on_one_line(x, sizes, larger[x.calls, True][0], wide) for x, wide in first):
                yield larger
            yield same


def _up(sizes: Sizes, pair: tuple[int, int]) -> tuple[int, int]:
    """Each a step larger: the largest of all is a quarter over what is read from where one works."""
    steps = (min(sizes.instruction, round(sizes.line * 1.25)), *sizes.ladder)
    name, said = (next((s for s in reversed(steps) if s > size), size) for size in pair)
    return name, said


def _highs(sizes: Sizes, lines: Lines, widths: Widths, fonts: Fonts) -> list[float]:
    return [
        max(
            max(row_high(x, sizes, fonts[x.calls, x.first], wide), float(sizes.action))
            for x, wide in zip(line, wides, strict=True)
        )
        for line, wides in zip(lines, widths, strict=True)
    ]


def _spread(sizes: Sizes, highs: Sequence[float], room: float, most_high: float) -> list[float]:
    """What is left over goes to the lines, as far as they are lower than ``most_high``; what is missing is taken from all."""
    each = (room - sum(highs) - sizes.gap * len(highs)) / max(len(highs), 1)
    if each < 0:
        least = room / max(len(highs), 1) - sizes.gap
        return [least] * len(highs)
    return [max(high, min(high + each, sizes.action * most_high)) for high in highs]
