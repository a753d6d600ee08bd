"""The desk on the glass: one batch and its release, checks that are due, lots, traces, two batches, a trend."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from kivy.graphics import Color, Ellipse, Line, Rectangle
from kivy.uix.widget import Widget

from benchapp.screens import design as d
from benchapp.screens.home import Labelled, Page
from benchapp.screens.leaves import LeavesPage, Told, turning
from benchapp.screens.parts import Words

if TYPE_CHECKING:
    from benchapp.screens.desk_ways import DeskWays
    from benchapp.screens.panel import Panel, Sizes
    from benchapp.service.desk_facts import BatchFacts, CheckFacts, Trend, Undecided

#: From so many pixels of height on, there is room for larger words.
ROOMY_PX = 800
#: How a check's state is said beside its shape.
STATES = {"waiting": "not yet due", "due": "due now", "passed": "passed", "failed": "failed"}


def _body(panel: Panel, sizes: Sizes) -> int:
    """The size of what is read: larger where there is room for it."""
    return sizes.note if panel.height >= ROOMY_PX else sizes.small


def batch_page(panel: Panel, sizes: Sizes, b: BatchFacts, ways: DeskWays) -> Page:
    """One batch: how it stands, and everything that can be asked of it."""
    page = Page(panel, sizes, b.batch)
    if b.practised:
        return _practised_page(page, b, ways)
    page.bottom([
        ("Back", ways.past, "plain"), ("Its record", _with(ways.record, b.batch), "plain"),
        ("What is in it", _with(ways.trace_batch, b.batch), "plain"),
        ("Release", _with(ways.release, b.batch), "plain"),
        ("Make this again", _with(ways.again, b.procedure, b.batch_g), "main"),
    ])  # fmt: skip
    kind = "A rehearsal. " if b.rehearsal else ""
    page.line(
        f"{kind}{b.batch_g:g} g of {b.procedure}, {b.decision or b.end or 'unfinished'}, {b.containers} containers.",
        sizes.note,
    )
    more: list[Labelled] = [
        ("Beside another batch", _with(ways.compare_from, b.batch), "plain"),
        ("The trend of its yield", _with(ways.trend, b.procedure, b.batch), "plain"),
    ]
    row = page.low + sizes.action
    page.grid(more, 2, page.left, page.low, page.wide, row)
    page.low = row + sizes.gap
    told = [(check_line(c), d.CORAL if c.state in ("due", "failed") else d.INK) for c in b.checks]
    told += [(f"Deviation {text}", d.INK) for text in b.deviations]
    for text, color in told:
        if not page.line(text, _body(panel, sizes), color=color):
            break  # the rest stands in its record and on the release page
    return page


def _practised_page(page: Page, b: BatchFacts, ways: DeskWays) -> Page:
    """A rehearsal of a scenario: what it was and how it ended; there is nothing to release."""
    labels: list[Labelled] = [
        ("Back", ways.past, "plain"),
        ("Its record", _with(ways.record, b.batch), "plain"),
        ("How it went", _with(ways.debrief, b.batch), "main"),
    ]
    page.bottom(labels)
    page.line(f"Practised: {b.practised}.", page.sizes.note, bold=True)
    page.line(
        f"{b.batch_g:g} g of {b.procedure} on a simulated bench; nothing of it leaves.", page.sizes.note
    )
    return page


def release_page(panel: Panel, sizes: Sizes, b: BatchFacts, ways: DeskWays) -> Page:
    """What speaks against letting it go, and the three decisions."""
    page = Page(panel, sizes, f"Release {b.batch}?")
    labels: list[Labelled] = [("Back", _with(ways.batch, b.batch), "plain")]
    if b.releasers:
        labels += [
            ("Reject it", _with(ways.decide, b, "rejected"), "serious"),
            ("Work it over", _with(ways.decide, b, "rework"), "serious"),
        ]
        if not b.against:
            labels.append(("Release it", _with(ways.decide, b, "released"), "main"))
    page.bottom(labels)
    if not b.releasers:
        page.line(
            "Nobody here may release. A releaser is enrolled at the desk: benchapp person enrol.", sizes.note
        )
    for text in b.against:
        page.line(text, _body(panel, sizes), bold=True, color=d.CORAL)
    if not b.against:
        page.line("Nothing speaks against it.", sizes.note)
    open_checks = [c for c in b.checks if c.state == "due"]
    _rows(
        page, [(f"Write down: {c.name}", _with(ways.check_batch, b.batch, c), "plain") for c in open_checks]
    )
    return page


def due_page(panel: Panel, sizes: Sizes, waiting: Sequence[Undecided], ways: DeskWays) -> Page:
    """Finished batches that wait, with what is due of each."""
    page = Page(panel, sizes, "Waiting for a decision")
    page.bottom([("Back", ways.past, "plain")])
    if not waiting:
        page.line("No finished batch waits.", sizes.note)
    labels: list[Labelled] = []
    for one in waiting:
        due = [c.name for c in one.checks if c.state == "due"]
        later = [f"{c.name} from {c.due}" for c in one.checks if c.state == "waiting"]
        said = f"due: {', '.join(due)}" if due else later[0] if later else "every check is written down"
        labels.append((f"{one.batch}: {said}", _with(ways.release, one.batch), "plain"))
    _rows(page, labels, long=True)
    return page


def choice_page(
    panel: Panel, sizes: Sizes, title: str, choices: Sequence[str], done: Callable[[str], None], back: Callable[[], None],
    turn: Callable[[int], None] | None = None, number: int = 0,
) -> Page:  # fmt: skip
    """One of these, in words. ``turn`` shows another page of them where they are more than fit on one."""
    page = Page(panel, sizes, title)
    below: list[Labelled] = [("Back", back, "plain")]
    if turn is not None:
        page.low = page.above_bottom
        room = page.rows_that_fit() * (1 if panel.portrait else 2)
        pages = -(-len(choices) // room)
        choices = choices[number * room : (number + 1) * room]
        if pages > 1:
            below.append((f"On, {number + 1} of {pages}", _with(turn, (number + 1) % pages), "plain"))
    page.bottom(below)
    _rows(page, [(choice, _with(done, choice), "plain") for choice in choices])
    return page


def list_page(
    panel: Panel, sizes: Sizes, title: str, rows: Sequence[tuple[str, Callable[[], None]]], back: Callable[[], None],
    turn: Callable[[int], None], number: int, none: str, more: Sequence[Labelled] = (),
) -> Page:  # fmt: skip
    """Rows to press, a page at a time; ``more`` is what else can be pressed."""
    page = Page(panel, sizes, title)
    page.low = page.above_bottom
    room = page.rows_that_fit()
    pages = max(-(-len(rows) // room), 1)
    number = min(number, pages - 1)
    part = rows[number * room : (number + 1) * room]
    page.bottom([("Back", back, "plain"), *turning(number, pages, turn), *more])
    if not part:
        page.line(none, sizes.note)
    _rows(page, [(label, act, "plain") for label, act in part], long=True)
    return page


def text_page(
    panel: Panel, sizes: Sizes, title: str, lines: Sequence[str], back: Callable[[], None], turn: Callable[[int], None], number: int
) -> Page:  # fmt: skip
    """Lines to read, a page at a time."""
    told = [Told(text) for text in lines]
    return LeavesPage(
        panel, sizes, title, told, turn, number, [("Back", back, "plain")], size=_body(panel, sizes)
    )


def trend_page(panel: Panel, sizes: Sizes, procedure: str, t: Trend | None, back: Callable[[], None]) -> Page:
    """A value over batches with its limits, and what the rules flag in words."""
    page = Page(panel, sizes, f"{procedure}: {t.what if t else 'yield'} over batches")
    page.bottom([("Back", back, "plain")])
    if t is None:
        page.line("A chart needs at least three finished batches.", sizes.note)
        return page
    few = " Provisional: there are few batches." if t.provisional else ""
    page.line(
        f"Centre {t.centre:.1f} {t.unit}, limits {t.lower:.1f} to {t.upper:.1f} {t.unit}.{few}", sizes.note
    )
    for text in t.said[:3] or ("No rule flags a drift.",):
        page.line(text, sizes.small, bold=bool(t.said), color=d.CORAL if t.said else d.INK)
    chart = TrendChart(t)
    chart.pos, chart.size = (page.left, page.low), (page.wide, max(page.pen_y - page.low - sizes.gap, 60.0))
    chart.draw(sizes.small)
    page.add_widget(chart)
    page.words += chart.words
    return page


class TrendChart(Widget):
    """Dots joined by a line, the centre and two limits, each limit with its number beside it."""

    def __init__(self, trend: Trend) -> None:
        super().__init__(size_hint=(None, None))
        self._trend = trend
        self.words: list[Words] = []

    def draw(self, size: int) -> None:
        """Into the widget's own place."""
        t = self._trend
        low, high = min(*t.values, t.lower), max(*t.values, t.upper)
        span = (high - low) or 1.0
        left, right = self.x + size * 4.5, self.right - size
        bottom, top = float(self.y + size), float(self.top - size)

        def at_y(value: float) -> float:
            return bottom + (value - low) / span * (top - bottom)

        step = (right - left) / max(len(t.values) - 1, 1)
        points = [(left + n * step, at_y(v)) for n, v in enumerate(t.values)]
        with self.canvas:
            Color(*d.WET_SAND)
            Rectangle(pos=(left, at_y(t.lower)), size=(right - left, at_y(t.upper) - at_y(t.lower)))
            for value, colour in ((t.lower, d.CORAL), (t.upper, d.CORAL), (t.centre, d.DRIFT)):
                Color(*colour)
                Line(points=[left, at_y(value), right, at_y(value)], width=1.5)
            Color(*d.TIDE)
            Line(points=[c for p in points for c in p], width=2.0)
            for (x, y), value in zip(points, t.values, strict=True):
                out = not t.lower <= value <= t.upper
                Color(*(d.CORAL if out else d.TIDE))
                r = size * (0.5 if out else 0.3)
                Ellipse(pos=(x - r, y - r), size=(2 * r, 2 * r))
        for value in (t.lower, t.centre, t.upper):
            words = Words(f"{value:.1f}", size, d.SLATE)
            words.place(self.x, at_y(value) + size * 0.7, size * 4.2)
            self.add_widget(words)
            self.words.append(words)


def check_line(c: CheckFacts) -> str:
    """A check in one line."""
    limits = "" if c.low is None or c.high is None else f" {c.low:g} to {c.high:g},"
    when = f" from {c.due}" if c.state == "waiting" else ""
    return f"{c.name}:{limits} {c.expect}. {STATES[c.state].capitalize()}{when}."


def _rows(page: Page, labels: Sequence[Labelled], long: bool = False) -> None:
    """Presses under the text, as many as there is room for; ``long``: each over the whole width."""
    if page.pen_y - page.low < page.sizes.action or not labels:
        return
    columns = 1 if long or page.panel.portrait else 2
    fits = list(labels)[: page.rows_that_fit() * columns]
    page.grid(fits, min(columns, len(fits)), page.left, page.low, page.wide, page.pen_y)


def _with(act: Callable[..., None], *what: object) -> Callable[[], None]:
    return lambda: act(*what)
