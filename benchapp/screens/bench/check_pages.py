"""The bench check: one channel of one device against a known value, read live when at rest or typed, judged."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_noop
from benchapp.runtime.device_checks import Check
from benchapp.screens.bench.live_number import LiveNumber, trusted
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.reference_drawing import ReferenceDrawing, ReferencePicture
from benchapp.screens.drawings.signs import SafetySign
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec, TouchButton
from benchapp.screens.widgets.page_base import ROOMY_PX, Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.text_label import TextLabel
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.references import (
    CAUTIONS,
    HOW,
    NOT_PASSED,
    CheckSubject,
    ReferenceChoice,
    ReferenceValue,
    probe_called,
    reference_choices,
)

if TYPE_CHECKING:
    from benchapp.runtime.bench_monitor import ChannelStatus
    from drivers.settings import DeviceSettings

TAKE, WAIT = tr_noop("Take this reading"), tr_noop("Wait until it is at rest")
#: How a pan stands that has nothing on it.
EMPTY = tr_noop("the pan is empty")
#: Said once the weight lies there.
LIES, NOT_ON = tr_noop("It is on"), tr_noop("Not on yet")
#: The number takes this share of the width beside the drawing, which is drawn from so many heights of small print on.
NUMBER_SHARE, LEAST_NOTES = 0.54, 6.0


def checks_page(
    sizes: Sizes,
    devices: Sequence[DeviceSettings],
    checks: Mapping[tuple[str, str], Check],
    pick: Callable[[DeviceSettings, str], None],
    paging: Paging,
) -> RowsPage:
    """Every channel of every device, and how its newest check came out."""
    rows = []
    for device in devices:
        for channel in device.channels:
            last = checks.get((device.name, channel))
            name = probe_called(device, channel)
            wrong = last is not None and not last.passed
            mark = "bad" if wrong else "good" if last is not None else "soon"
            rows.append(RowSpec(name, partial(pick, device, channel), _when(last), wrong=wrong, mark=mark))
    return RowsPage(sizes, tr("Check the bench"), rows, paging)


def _when(last: Check | None) -> str:
    if last is None:
        return tr("not checked yet")
    return tr(
        "{how} on {day}, by {maker}",
        how=tr("passed") if last.passed else tr("NOT passed"),
        day=day(last.at),
        maker=last.maker,
    )


def device_page(
    sizes: Sizes, subject: CheckSubject, pick: Callable[[ReferenceChoice], None], back: Callable[[], None]
) -> Page:
    """What to hold this channel against; where there is room, each with when to take it."""
    page = Page(sizes, tr("Check the {name}", name=subject.name))
    page.bottom([("Back", back, "plain")])
    choices = reference_choices(subject.device)
    explained = any(c.hint for c in choices) and sizes.panel.height >= ROOMY_PX
    columns = 1 if explained else 2 if sizes.panel.portrait else 3
    rows = -(-len(choices) // columns)
    caution = CAUTIONS.get(subject.device.kind)
    kept = rows * (sizes.action + sizes.gap)
    under = 2.0 * sizes.line if caution else 0.0
    page.listed_large([TextLine(HOW[subject.device.kind])], after=kept + under)
    if caution:
        _cautioned(page, *caution)
    if explained:
        _explained(page, choices, pick)
    else:
        page.grid([(c.label, partial(pick, c), "plain") for c in choices], columns, page.room)
    return page


def _cautioned(page: Page, reference: str, hurts: str) -> None:
    """What can hurt, on a line of its own with its sign."""
    s, side = page.sizes, page.sizes.line * 1.4
    sign = SafetySign(reference)
    sign.size, sign.pos = (side, side), (page.left, page.pen_y - side)
    words = TextLabel(hurts, s.line, bold=True)
    page.add_widget(sign)
    page.hang(words)
    low = words.place(page.left + side + s.gap, page.pen_y - s.line * 0.1, page.wide - side - s.gap)
    page.pen_y = min(low, sign.y) - s.gap * 0.5


def _explained(
    page: Page, choices: Sequence[ReferenceChoice], pick: Callable[[ReferenceChoice], None]
) -> None:
    """A row for each, with when to take it."""
    s, rows = page.sizes, len(choices)
    high = max(min((page.pen_y - page.low - s.gap * (rows - 1)) / rows, 1.6 * s.action), s.action)
    presses = [TouchButton(c.label, partial(pick, c), "plain", s.line, detail=c.hint) for c in choices]
    for n, press in enumerate(presses):
        press.size = (page.wide, high)
        press.pos = (page.left, page.pen_y - (n + 1) * high - n * s.gap)
        page.add_widget(press)
    for font in s.ladder[1:]:
        if all([press.detail_fits(font) for press in presses]):
            break


class ComparisonPage(Page):
    """The device as it reads now beside what it should read; taken when it is at rest, or typed."""

    def __init__(
        self,
        sizes: Sizes,
        subject: CheckSubject,
        reference: ReferenceValue,
        judge: Callable[[Check], None],
        type_it: ButtonSpec,
        back: Callable[[], None],
    ) -> None:
        unit = subject.unit
        scale = subject.device.kind == "scale"
        order = tr("Put the {grams:g} g weight on", grams=reference.expected)
        super().__init__(sizes, order if scale else f"{subject.name}: {reference.against}")
        self._judge, self._subject, self._reference = judge, subject, reference
        self._rest: float | None = None
        self._done = LIES if scale else TAKE
        self.bottom([("Back", back, "plain"), type_it, (self._done, self._take, "main")])
        decimals = max(reference.decimals, 2 if unit == "pH" else 1)
        low, high = (
            sizes.figures.live(reference.expected + by, unit, decimals)
            for by in (-reference.allowed, reference.allowed)
        )
        wanted = tr("It should read {low} to {high}.", low=low[0], high=" ".join(high).strip())
        lines = [TextLine(wanted)]
        if scale:
            said = tr("On the empty pan of the {name}. Then hands off.", name=subject.name)
            lines.insert(0, TextLine(said, bold=True))
        self.listed_large(lines, after=LiveNumber.least_high(sizes))
        self.take = next(w for w in self.children if isinstance(w, TouchButton) and w.label == self._done)
        self._number = LiveNumber(self, self.pen_y)
        name = sizes.figures.number(f"{reference.expected:g} g") if scale else ""
        within = (reference.expected - reference.allowed, reference.expected + reference.allowed)
        self._picture = ReferencePicture(scale, name, unit, *within, decimals)
        self._drawing = self._place_for_it()

    def live(self, seen: Sequence[ChannelStatus]) -> None:
        """The newest reading."""
        key = (self._subject.device.name, self._subject.channel)
        one = next((s for s in seen if (s.device.name, s.channel) == key), None)
        reading = trusted(one)
        rest = one.rest if one is not None and reading is not None else None
        bare = rest is not None and self._subject.device.kind == "scale" and self._forgotten(rest)
        self._rest = None if bare else rest
        if self._drawing is not None:
            value = reading.value if reading is not None else None
            lies = value is not None and not (self._subject.device.kind == "scale" and self._forgotten(value))
            self._drawing.show(replace(self._picture, value=value, lies=lies))
        if self._number.show(one, self._subject.unit, self._reference.decimals, EMPTY if bare else ""):
            self.take.say(NOT_ON if bare else self._done if rest is not None else WAIT)
            self.take.dim(self._rest is None)

    def _place_for_it(self) -> ReferenceDrawing | None:
        """The drawing beside the number, under it on an upright glass; None where it has no room."""
        s, top = self.sizes, self.pen_y
        left = self.left + self.wide * NUMBER_SHARE
        if self.panel.portrait:
            left, top = self.left, top - LiveNumber.least_high(s)
        if top - self.low < s.note * LEAST_NOTES:
            return None
        drawing = ReferenceDrawing(s.line, s.figures)
        drawing.pos, drawing.size = (
            (left, self.low + s.gap * 0.5),
            (self.left + self.wide - left, top - self.low - s.gap),
        )
        self.add_widget(drawing)
        return drawing

    def _forgotten(self, rest: float) -> bool:
        """Whether nothing lies on the pan: a scale that is as far off as that has its reading typed."""
        return abs(rest) < abs(rest - self._reference.expected)

    def _take(self) -> None:
        if self._rest is not None:
            self._judge(self._subject.check(self._reference, self._rest, "measured"))


def verdict_page(sizes: Sizes, check: Check, electrode: str, routes: Routes) -> Page:
    """What was found; ``electrode`` says how a pH electrode is, "" where that is not known."""
    page = Page(sizes, "Passed" if check.passed else tr("Not passed"))
    page.bottom([(tr("Check another"), routes.checks, "plain"), (tr("To the bench"), routes.home, "main")])
    lines = [TextLine(check.verdict, True, d.KELP if check.passed else d.CORAL)]
    lines += [TextLine(electrode)] if electrode else []
    lines += [] if check.passed else [TextLine(NOT_PASSED)]
    page.listed_large(lines)
    return page
