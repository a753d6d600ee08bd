"""The screens around a make: the bench, choosing a procedure and a size, its plan, past batches, one record."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from benchapp.screens import design as d
from benchapp.screens.device_rows import DeviceRow
from benchapp.screens.overlays import Sheet
from benchapp.screens.parts import Press, Words

if TYPE_CHECKING:
    from benchapp.make.plan import Plan
    from benchapp.record.journal import BatchLine
    from benchapp.runtime.bench_monitor import ChannelStatus
    from benchapp.screens.panel import Panel, Sizes
    from benchapp.screens.ways import Ways
    from benchapp.service.bench_facts import BenchFacts, Recipe

Labelled = tuple[str, Callable[[], None], str]


class Page(Sheet):
    """A title, lines of text, rows of things to press, and a row at the bottom."""

    def __init__(self, panel: Panel, sizes: Sizes, title: str) -> None:
        super().__init__(panel, sizes)
        self.words: list[Words] = []
        self.pen_y = float(panel.height - sizes.pad)
        self.low = float(sizes.pad)
        self.line(title, sizes.instruction, bold=True)

    @property
    def left(self) -> float:
        """The left edge."""
        return float(self.sizes.pad)

    @property
    def wide(self) -> float:
        """The width between the edges."""
        return float(self.panel.width - 2 * self.sizes.pad)

    def line(self, text: str, size: int, bold: bool = False, color: d.RGB = d.INK) -> bool:
        """One more line of text; False (and nothing drawn) where there is no room left."""
        words = Words(text, size, color, bold=bold)
        if self.pen_y - words.height_at(self.wide) < self.low:
            return False
        self.add_widget(words)
        self.words.append(words)
        self.pen_y = words.place(self.left, self.pen_y, self.wide) - self.sizes.gap * 0.4
        return True

    def bottom(self, labels: Sequence[Labelled]) -> None:
        """The row at the bottom; text keeps above it. A label "" leaves its place empty, so that what lies beside it
        stays where it was on the page before."""
        s = self.sizes
        wide = (self.wide - s.gap * (len(labels) - 1)) / len(labels)
        for n, (label, act, kind) in enumerate(labels):
            if label:
                press = Press(label, act, kind, s.note)
                press.size, press.pos = (wide, s.action), (self.left + n * (wide + s.gap), s.pad)
                self.add_widget(press)
        self.low = self.above_bottom

    @property
    def above_bottom(self) -> float:
        """Where what is read ends above the row at the bottom."""
        return float(self.sizes.pad + self.sizes.action + self.sizes.gap)

    def live(self, seen: Sequence[ChannelStatus]) -> None:
        """The bench as it reads now, every frame; most pages do not show it."""

    def rows_that_fit(self) -> int:
        """How many rows of presses there is room for."""
        s = self.sizes
        return max(int((self.pen_y - self.low + s.gap) // (s.action + s.gap)), 1)


def wait_page(panel: Panel, sizes: Sizes, what: str) -> Page:
    """Something is being read or opened; it says what."""
    page = Page(panel, sizes, "One moment.")
    page.line(what, sizes.note)
    return page


class HomePage(Page):
    """The bench: its devices with what they read now, what is missing, what stands unfinished, what can be done."""

    def __init__(
        self, panel: Panel, sizes: Sizes, facts: BenchFacts | None, seen: Sequence[ChannelStatus], ways: Ways
    ) -> None:
        super().__init__(panel, sizes, "Bench")
        unfinished = facts.unfinished if facts is not None else None
        labels: list[Labelled] = [
            ("Settings", ways.settings, "plain"), ("Past batches", ways.past, "plain"),
            ("Check the bench", ways.check, "plain"),
            ("Make a batch", ways.choose, "plain" if unfinished else "main"),
        ]  # fmt: skip
        if unfinished is None:
            labels.insert(-1, ("Practise", ways.practices, "plain"))
        else:  # what to practise stands behind the shelf, too
            labels.append(("Go on with it", _with(ways.go_on, unfinished.batch), "main"))
        self.bottom(labels)
        words = Words(SAFETY, sizes.small, d.SLATE)
        high = words.height_at(self.wide)
        self.add_widget(words)
        self.words.append(words)
        words.place(self.left, self.low + high, self.wide)
        self.low += high + sizes.gap * 0.5
        self.rows: list[DeviceRow] = []
        self.told = Words("", sizes.small, d.CORAL)
        self.add_widget(self.told)
        if facts is None:
            self.line("Opening the journal and the bench.", sizes.note)
            return
        self.line(f"{facts.maker}, on {facts.where}.", sizes.note)
        if unfinished is not None:
            said = _batch_line(unfinished, facts.practised)
            self.line(f"Unfinished: {said}", sizes.note, bold=True, color=d.CORAL)
        for text in facts.due[:2]:
            self.line(text, sizes.small, bold=True, color=d.CORAL)
        for text in facts.missing:
            self.line(text, sizes.small, bold=True)
        self._rows(facts)
        self.live(seen)

    def _rows(self, facts: BenchFacts) -> None:
        """One row for each channel, as many as there is room for."""
        s = self.sizes
        channels = [(device, channel) for device in facts.devices for channel in device.channels]
        columns = 1 if self.panel.portrait or len(channels) == 1 else 2
        wide = (self.wide - s.gap * (columns - 1)) / columns
        top, between = self.pen_y, s.gap * 0.4
        rows = -(-len(channels) // columns)
        room = min(top - self.low, (self.panel.height - self.low) * 0.6)  # what is wrong needs room, too
        font = next(
            (f for f in DeviceRow.fonts(s)
             if DeviceRow.wide(s, f) <= wide and rows * (DeviceRow.high(s, f) + between) <= room),
            DeviceRow.fonts(s)[-1],
        )  # fmt: skip
        high = DeviceRow.high(s, font)
        for n, (device, channel) in enumerate(channels):
            row, column = divmod(n, columns)
            y = top - row * (high + between)
            if y - high < self.low:
                break
            line = DeviceRow(s, device, channel, facts.checked.get(device.name, ""), font)
            line.lay(self.left + column * (wide + s.gap), y, wide)
            self.rows.append(line)
            self.add_widget(line)
            self.pen_y = y - high

    def live(self, seen: Sequence[ChannelStatus]) -> None:
        """New values into the rows."""
        if not self.rows:
            return
        by_channel = {(one.device.name, one.channel): one for one in seen}
        for row in self.rows:
            row.show(by_channel.get(row.key))
        self._tell(list(dict.fromkeys(one.trouble for one in seen if one.trouble)))

    def _tell(self, sentences: list[str]) -> None:
        """What is wrong with devices, a sentence each, as many as there is room for; the others stand in the check."""
        text = ""
        for sentence in sentences:
            self.told.text = f"{text}\n{sentence}" if text else sentence
            if self.pen_y - self.sizes.gap * 0.4 - self.told.height_at(self.wide) < self.low:
                break
            text = self.told.text
        self.told.text = text
        if text:
            self.told.place(self.left, self.pen_y - self.sizes.gap * 0.4, self.wide)
        else:
            self.told.size = (0, 0)


SAFETY = (
    "The supplier's safety data sheet, your local rules and licensed practice come before anything "
    "this screen says. In an accident, get medical advice."
)


def home_page(
    panel: Panel, sizes: Sizes, facts: BenchFacts | None, seen: Sequence[ChannelStatus], ways: Ways
) -> HomePage:
    """The bench; ``facts`` None: they are still being read, and every press waits for them in turn."""
    return HomePage(panel, sizes, facts, seen, ways)


def choose_page(panel: Panel, sizes: Sizes, recipes: Sequence[Recipe], ways: Ways) -> Page:
    """Every procedure on the shelf."""
    page = Page(panel, sizes, "What will you make?")
    page.bottom([("Back", ways.home, "plain"), ("Practise", ways.practices, "plain")])
    labels: list[Labelled] = [(r.name, _with(ways.size, r), "plain") for r in recipes]
    columns = 1 if panel.portrait else 2 if len(labels) <= 2 * page.rows_that_fit() else 3
    page.grid(labels, columns, page.left, page.low, page.wide, page.pen_y)
    return page


def size_page(
    panel: Panel,
    sizes: Sizes,
    plan: Plan,
    problems: Sequence[str],
    ways: Ways,
    recipe: Recipe,
    batch_g: float,
) -> Page:
    """The size, its weigh sheet and what speaks against it."""
    from benchapp.make.plan import decimals_of

    page = Page(panel, sizes, f"{recipe.name}: {batch_g:g} g")
    steps = sorted({recipe.smallest_g, recipe.usual_g, recipe.largest_g})
    labels: list[Labelled] = [("Back", ways.choose, "plain")]
    labels += [(f"{g:g} g", _with(ways.size_of, recipe, g), "plain") for g in steps if g != batch_g]
    labels.append(("By bottles", _with(ways.bottles, recipe), "plain"))
    if not problems:
        labels.append(("Begin", _with(ways.begin, recipe.key, batch_g), "main"))
    page.bottom(labels)
    for problem in problems:
        page.line(problem, sizes.note, color=d.CORAL)
    for warning in plan.warnings:
        page.line(warning, sizes.small, bold=True, color=d.CORAL)
    lines = [
        f"{w.target_g:.{decimals_of(w.device)}f} g  {w.line.name}  ({w.device.name if w.device else 'by hand'})"
        for w in plan.weighings.values()
    ]
    font = (
        sizes.note
        if len(lines) * (sizes.note * 1.2 + sizes.gap * 0.4) <= page.pen_y - page.low
        else sizes.small
    )
    shown = 0
    for line in lines:
        if not page.line(sizes.figures.text(line), font):
            break
        shown += 1
    left = len(plan.weighings) - shown
    if left and page.words:
        page.words[-1].text += f"   and {left} more"
        page.words[-1].place(page.left, page.words[-1].top, page.wide)
    return page


def past_page(
    panel: Panel, sizes: Sizes, batches: Sequence[BatchLine], practised: Mapping[str, str], ways: Ways, number: int
) -> Page:  # fmt: skip
    """Past batches, newest first, a page at a time; ``practised`` says what scenario some of them rehearsed."""
    page = Page(panel, sizes, "Past batches")
    rows = past_rows(panel, sizes)
    newer, older = number > 0, len(batches) > (number + 1) * rows
    page.bottom([
        ("Back", ways.home, "plain"), ("Lots", ways.lots, "plain"), ("To release", ways.due, "plain"),
        *([("Newer" if newer else "", _with(ways.past, number - 1), "plain"),
           ("Older" if older else "", _with(ways.past, number + 1), "plain")] if newer or older else []),
    ])  # fmt: skip
    part = batches[number * rows : (number + 1) * rows]
    if not part:
        page.line("No more batches." if number else "Nothing has been made here yet.", sizes.note)
    labels: list[Labelled] = [
        (_batch_line(b, practised.get(b.batch, "")), _with(ways.batch, b.batch), "plain") for b in part
    ]
    if labels:
        page.grid(labels, 1, page.left, page.low, page.wide, page.pen_y)
    return page


def past_rows(panel: Panel, sizes: Sizes) -> int:
    """How many batches stand on one page."""
    page = Page(panel, sizes, "Past batches")
    page.low = page.above_bottom
    return page.rows_that_fit()


def _batch_line(b: BatchLine, practised: str) -> str:
    if practised:
        return f"{b.batch}, practised: {practised}"
    end = b.end or "unfinished"
    return f"{b.batch}, {b.batch_g:g} g, {end}{', rehearsal' if b.rehearsal else ''}"


def _with(act: Callable[..., None], *what: object) -> Callable[[], None]:
    return lambda: act(*what)
