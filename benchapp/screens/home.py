"""The screens around a make: the bench, choosing a procedure and a size, its plan, past batches, one record."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol

from benchapp.make.plan import decimals_of
from benchapp.record.journal import BatchLine
from benchapp.screens import design as d
from benchapp.screens.bench import Recipe, Workshop
from benchapp.screens.overlays import Sheet
from benchapp.screens.panel import Panel, Sizes
from benchapp.screens.parts import Press, Words

Labelled = tuple[str, Callable[[], None], str]


class Ways(Protocol):
    """Where one can go from a screen."""

    def home(self) -> None: ...
    def choose(self) -> None: ...
    def size(self, recipe: Recipe) -> None: ...
    def size_of(self, recipe: Recipe, batch_g: float) -> None: ...
    def bottles(self, recipe: Recipe) -> None: ...
    def check(self) -> None: ...
    def settings(self) -> None: ...
    def set_text(self, large: bool) -> None: ...
    def set_hand(self, left: bool) -> None: ...
    def past(self, page: int = 0) -> None: ...
    def record(self, batch: str, page: int = 0) -> None: ...
    def start(self, recipe: Recipe, batch_g: float) -> None: ...
    def go_on(self, batch: str) -> None: ...


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
        """The row at the bottom; text keeps above it."""
        s = self.sizes
        wide = (self.wide - s.gap * (len(labels) - 1)) / len(labels)
        for n, (label, act, kind) in enumerate(labels):
            press = Press(label, act, kind, s.note)
            press.size, press.pos = (wide, s.action), (self.left + n * (wide + s.gap), s.pad)
            self.add_widget(press)
        self.low = s.pad + s.action + s.gap

    def rows_that_fit(self) -> int:
        """How many rows of presses there is room for."""
        s = self.sizes
        return max(int((self.pen_y - self.low + s.gap) // (s.action + s.gap)), 1)


def home_page(panel: Panel, sizes: Sizes, shop: Workshop, ways: Ways) -> Page:
    """The bench: what it is, what stands unfinished, what can be done."""
    page = Page(panel, sizes, "Bench")
    unfinished = next((b for b in shop.batches() if not b.end), None)
    labels: list[Labelled] = [
        ("Settings", ways.settings, "plain"), ("Past batches", ways.past, "plain"),
        ("Check the bench", ways.check, "plain"), ("Make a batch", ways.choose, "main"),
    ]  # fmt: skip
    if unfinished is not None:
        labels.append(("Go on with the unfinished batch", _with(ways.go_on, unfinished.batch), "main"))
    page.bottom(labels)
    page.line(f"{shop.maker}, on {shop.where}.", sizes.note)
    if unfinished is not None:
        page.line(f"Unfinished: {_batch_line(unfinished)}", sizes.note, bold=True, color=d.CORAL)
    passed = shop.checked()
    for device in shop.devices():
        known = f"checked {passed[device.name][:10]}" if device.name in passed else "not checked"
        page.line(f"{device.name}: {known}", sizes.small)
    page.line(
        "The supplier's safety data sheet, your local rules and licensed practice come before anything "
        "this screen says. In an accident, get medical advice.", sizes.note, color=d.SLATE,
    )  # fmt: skip
    return page


def choose_page(panel: Panel, sizes: Sizes, shop: Workshop, ways: Ways) -> Page:
    """Every procedure on the shelf."""
    page = Page(panel, sizes, "What will you make?")
    page.bottom([("Back", ways.home, "plain")])
    labels: list[Labelled] = [(r.name, _with(ways.size, r), "plain") for r in shop.recipes()]
    columns = 1 if panel.portrait else 2 if len(labels) <= 2 * page.rows_that_fit() else 3
    page.grid(labels, columns, page.left, page.low, page.wide, page.pen_y)
    return page


def size_page(panel: Panel, sizes: Sizes, shop: Workshop, ways: Ways, recipe: Recipe, batch_g: float) -> Page:
    """The size, its weigh sheet and what speaks against it."""
    page = Page(panel, sizes, f"{recipe.name}: {batch_g:g} g")
    steps = sorted({recipe.smallest_g, recipe.usual_g, recipe.largest_g})
    plan, problems = shop.plan(recipe.key, batch_g)
    labels: list[Labelled] = [("Back", ways.choose, "plain")]
    labels += [(f"{g:g} g", _with(ways.size_of, recipe, g), "plain") for g in steps if g != batch_g]
    labels.append(("By bottles", _with(ways.bottles, recipe), "plain"))
    if not problems:
        labels.append(("Begin", _with(ways.start, recipe, batch_g), "main"))
    page.bottom(labels)
    for problem in problems:
        page.line(problem, sizes.note, color=d.CORAL)
    for warning in plan.warnings:
        page.line(warning, sizes.small, bold=True, color=d.CORAL)
    shown = 0
    for w in plan.weighings.values():
        digits = decimals_of(w.device)
        on = w.device.name if w.device else "by hand"
        if not page.line(f"{w.target_g:.{digits}f} g  {w.line.name}  ({on})", sizes.small):
            break
        shown += 1
    left = len(plan.weighings) - shown
    if left and page.words:
        page.words[-1].text += f"   and {left} more"
        page.words[-1].place(page.left, page.words[-1].top, page.wide)
    return page


def settings_page(panel: Panel, sizes: Sizes, large: bool, left_handed: bool, ways: Ways) -> Page:
    """Text size and the hand that works; what is chosen now is the filled one."""
    page = Page(panel, sizes, "Settings")
    page.bottom([("Back", ways.home, "plain")])
    labels: list[Labelled] = [
        ("Text: normal", _with(ways.set_text, False), "plain" if large else "main"),
        ("Text: large", _with(ways.set_text, True), "main" if large else "plain"),
        ("Right-handed", _with(ways.set_hand, False), "plain" if left_handed else "main"),
        ("Left-handed", _with(ways.set_hand, True), "main" if left_handed else "plain"),
    ]
    page.grid(labels, 2, page.left, page.low, page.wide, page.pen_y)
    return page


def past_page(panel: Panel, sizes: Sizes, shop: Workshop, ways: Ways, number: int) -> Page:
    """Past batches, newest first, a page at a time."""
    page = Page(panel, sizes, "Past batches")
    batches = shop.batches()
    page.bottom([("Back", ways.home, "plain"), ("Older", _with(ways.past, number + 1), "plain")])
    rows = page.rows_that_fit()
    part = batches[number * rows : (number + 1) * rows]
    if not part:
        page.line("No more batches." if number else "Nothing has been made here yet.", sizes.note)
    labels: list[Labelled] = [(_batch_line(b), _with(ways.record, b.batch), "plain") for b in part]
    if labels:
        page.grid(labels, 1, page.left, page.low, page.wide, page.pen_y)
    return page


def record_page(panel: Panel, sizes: Sizes, shop: Workshop, ways: Ways, batch: str, number: int) -> Page:
    """One batch's record in words, a page at a time."""
    page = Page(panel, sizes, batch)
    page.bottom([("Back", ways.past, "plain"), ("On", _with(ways.record, batch, number + 1), "plain")])
    r = shop.record(batch)
    lines = [f"{r.batch_g:g} g of {r.procedure}, {r.outcome}, by {r.maker}", f"{r.begun} to {r.ended}"]
    if r.product_g is not None:
        lines.append(f"product {r.product_g:.1f} g, yield {r.yield_percent:.1f} %")
    lines += [f"{w.what}: {w.value:g} g ({w.low:g} to {w.high:g}), {w.source}" for w in r.weighings]
    lines += [f"{x.what}: {x.value:g} {x.unit}, {x.source}" for x in r.readings if x.unit != "°C"]
    lines += [f"{x.what}, {x.source}" for x in r.looks]
    lines += [f"deviation {x['number']}, {x['grade']}: {x['text']}" for x in r.deviations]
    lines += [f"signed {x['who']}, {x['meaning']}, {x['wall']}" for x in r.signatures] + [
        f"head {r.head[:16]}…"
    ]
    room = max(int((page.pen_y - page.low) // (sizes.small * 1.9)), 1)
    for text in lines[number * room : (number + 1) * room] or ["That is all of it."]:
        page.line(text, sizes.small)
    return page


def _batch_line(b: BatchLine) -> str:
    end = b.end or "unfinished"
    return f"{b.batch}, {b.batch_g:g} g, {end}{', rehearsal' if b.rehearsal else ''}"


def _with(act: Callable[..., None], *what: object) -> Callable[[], None]:
    return lambda: act(*what)
