"""Two batches beside each other: what came out of them, what differs under its heads, and in one line what is the same."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import groupby
from typing import TYPE_CHECKING

from kivy.graphics import Color, Rectangle

from benchapp.foundation.language import capitalised, number, tr, tr_n, translated
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import heading, leaf, product_named, short_day
from benchapp.screens.display.phrases import held_together
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.page_base import ROOMY_PX
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.table_page import TableColumn, TablePage, TableRow
from benchapp.screens.widgets.text_label import TextLabel, natural_wide

if TYPE_CHECKING:
    from benchapp.record.batch_line import BatchLine
    from benchapp.record.comparison import Pair
    from benchapp.service.desk_facts import Beside

#: Two values that differ by less, in their own unit, are the same on the glass; a duration by less than a minute, what was
#: weighed by less than so much of the product, in percent, which no scale of a bench repeats (common practice, no source).
SAME, SAME_S, SAME_SHARE = 0.005, 30.0, 0.05
#: A batch that lacks so much more of what is not accounted for than another, in percent of the smaller one, is the news of both (ours).
NEWS_SHARE = 1.0
#: The bars are drawn where there is so much room, in heights of a line.
BARS_PART = 5.0


class BesidePage(TablePage):
    """What came out of both as two bars under the finding, then what differs, as a table, and what is the same."""

    one_line_title = True

    def __init__(self, sizes: Sizes, found: Beside, paging: Paging, look: Callable[[str], None]) -> None:
        """``look`` shows the batch of which less came out."""
        one, other = found.first, found.second
        alike = one.procedure == other.procedure
        self._yields = [
            (_named(b, not_b, alike), value)
            for p in found.pairs if p.what == "yield" and None not in (p.first, p.second)
            for b, not_b, value in ((one, other, p.first), (other, one, p.second))
        ]  # fmt: skip
        self._news, self._alike = _lost_more(found) if alike else "", alike
        rows = list(_table(found, drawn=bool(self._yields)))
        heads = [_named(one, other, alike), _named(other, one, alike)]
        if heads[0] == heads[1]:
            heads = [one.batch, other.batch]
        columns = [
            TableColumn("", 0.4), *(TableColumn(head, 0.2, True) for head in heads), TableColumn("difference", 0.2, True),
        ]  # fmt: skip
        less = min(self._yields, key=lambda y: y[1] or 0.0, default=None) if self._news else None
        batch = next((b for b, n in ((one, heads[0]), (other, heads[1])) if less and n == less[0]), None)
        more = (
            [(tr("Look for it in the batch of {day}", day=less[0]), partial(look, batch.batch), "main")]
            if less and batch
            else []
        )
        super().__init__(sizes, _finding(found, alike), columns, rows, paging, more)

    def _over(self) -> None:
        """Two bars from nothing to all of it, each with its batch before it and what came out behind it; and what is the news of both."""
        self._bars()
        if self._news:
            size = self.sizes.between if self.panel.height >= ROOMY_PX else self.sizes.note
            self.line(self._put(self._news), size, True, d.CORAL, "open")

    def _bars(self) -> None:
        s = self.sizes
        if not self._yields or self.pen_y - self.low < BARS_PART * s.line:
            return
        font = s.between if self.panel.height >= ROOMY_PX and not self._news else s.note
        said = translated("yield")
        bars = [(f"{said}, {name}" if self._alike else name, value) for name, value in self._yields]
        names = max(natural_wide(name, font) for name, _ in bars) + s.gap
        figures = natural_wide("100.0 %", font) + s.gap
        for name, value in bars:
            words, figure = TextLabel(name, font, d.SLATE), TextLabel(self._put(tr("{percent:.1f} %", percent=value)), font, d.TIDE, bold=True)  # fmt: skip
            self.hang(words, figure)
            top = self.pen_y
            self.pen_y = words.place(self.left, top, names) - s.gap * 0.4
            x, wide = self.left + names, self.wide - names - figures
            high, y = font * 0.8, top - font * 1.02
            with self.canvas:
                Color(*d.WET_SAND)
                Rectangle(pos=(x, y), size=(wide, high))
                Color(*d.TIDE)
                Rectangle(pos=(x, y), size=(wide * min((value or 0.0) / 100.0, 1.0), high))
            figure.place(x + wide + s.gap, top, figures)
        self.pen_y -= s.gap * 0.6


def _named(b: BatchLine, other: BatchLine, alike: bool) -> str:
    """By its day where both are of one product."""
    return _day(b, other) if alike else heading(b).replace("\u00a0", " ")


def _day(b: BatchLine, other: BatchLine) -> str:
    """When it was made; the year, too, where the other was made in another."""
    return short_day(b.wall) if b.wall[:4] == other.wall[:4] else "\u00a0".join(leaf(b.wall))


def _finding(found: Beside, alike: bool) -> str:
    """Of which of two batches of one product less came out; else what they are."""
    one, other = found.first, found.second
    if not alike:
        return tr("Two batches beside each other")
    name = product_named(one.procedure)
    out = _of_two_days(found, "yield")
    if out is None or any(p.what == "yield" and same(p) for p in found.pairs):
        return name
    less = other if out[1] < out[0] else one
    return tr("{name}: less came out on {day}", name=name, day=_day(less, other if less is one else one))


def _table(found: Beside, drawn: bool) -> Iterator[TableRow]:
    """What differs, group by group, then what is the same. ``drawn``: what came out stands over it."""
    alike = found.first.procedure == found.second.procedure
    if alike and not found.same_procedure:
        yield TableRow((tr("They were made by different versions of the recipe."),), plain=True)
    news = _lost_more(found) if alike else ""
    over = {"yield"} if drawn else set()
    over |= {_unaccounted()} if news else set()
    differing = [p for p in found.pairs if not same(p) and p.what not in over]
    for group, pairs in groupby(differing, lambda p: p.group):
        if group != "result" or differing[0].group != "result":
            yield TableRow((capitalised(translated(group)),), head=True)
        yield from _rows(list(pairs))
    said = _folded(found.pairs)
    if said:
        yield TableRow((said,), plain=True)


def _lost_more(found: Beside) -> str:
    """How much of each is not accounted for, where that is worth a look; else ""."""
    one, other = found.first, found.second
    lost = _of_two_days(found, _unaccounted())
    if lost is None or abs(lost[1] - lost[0]) < NEWS_SHARE / 100.0 * min(one.whole_g, other.whole_g):
        return ""
    said = tr(
        "Not accounted for: {grams:.1f} g on {day}, {other_g:.1f} g on {other_day}",
        grams=lost[0], other_g=lost[1], day=_day(one, other), other_day=_day(other, one),
    )  # fmt: skip
    return held_together(said)


def _of_two_days(found: Beside, what: str) -> tuple[float, float] | None:
    """What each of them had of it; None where one has none, or their days do not tell them apart."""
    pair = next((p for p in found.pairs if p.what == what), None)
    if pair is None or pair.first is None or pair.second is None:
        return None
    return None if found.first.wall[:10] == found.second.wall[:10] else (pair.first, pair.second)


def _unaccounted() -> str:
    """What is not accounted for, as the comparison names it."""
    return tr("not accounted for|g").partition("|")[0]


def same(p: Pair) -> bool:
    """Whether both have it, and as much of it as can be seen."""
    if p.first is None or p.second is None:
        return False
    if p.unit == "s":
        return abs(p.second - p.first) < SAME_S or _shown(p, p.first, 0) == _shown(p, p.second, 0)
    return abs(p.second - p.first) < (SAME_SHARE if p.group == "weighed" else SAME)


def _shown(p: Pair, value: float, places: int) -> float:
    """The value as it stands in its column: a long time in whole minutes."""
    if p.unit != "s":
        return round(value, places)
    return round(value) if value < 90.0 else 60.0 * round(value / 60.0)


def _rows(pairs: Sequence[Pair]) -> list[TableRow]:
    """With as many decimals in each as one of them needs, so that the points stand under each other."""
    places = {unit: max(_places(p) for p in pairs if p.unit == unit) for unit in {p.unit for p in pairs}}
    return [
        TableRow(
            (translated(p.what), _said(p, p.first, places[p.unit]), _said(p, p.second, places[p.unit]), _difference(p, places[p.unit]))
        )
        for p in pairs
    ]  # fmt: skip


def _places(p: Pair) -> int:
    given = (v for v in (p.first, p.second) if v is not None)
    return max((len(f"{round(v, 2):g}".partition(".")[2]) for v in given), default=0)


def _said(p: Pair, value: float | None, places: int) -> str:
    if value is None:
        return "–"
    if p.unit == "s":
        from benchapp.record.documents.plain_text import span  # the first frame does not wait for it

        return span(value)
    unit = "" if p.unit == "pH" else translated(p.unit)  # the group says that it is a pH
    return f"{number(value, f'.{places}f')} {unit}".strip()


def _difference(p: Pair, places: int) -> str:
    if p.first is None or p.second is None:
        return ""
    found = _shown(p, p.second, places) - _shown(
        p, p.first, places
    )  # of what stands there, so that it adds up
    sign = "−" if found < 0 else "+"
    return sign + _said(p, abs(found), places)


def _folded(pairs: Sequence[Pair]) -> str:
    """Which are the same, in one line; all of them where nothing differs."""
    alike = [p for p in pairs if same(p)]
    if pairs and len(alike) == len(pairs):
        return tr("Nothing differs: weights to 0.05 % of the batch, times to half a minute.")
    weighed = [p for p in alike if p.group == "weighed"]
    names = [
        translated(p.what if p.group == "result" else p.group)
        for p in alike
        if p.group not in ("weighed", "time")
    ]
    if weighed:
        names.insert(0, tr_n("{n} ingredient", "{n} ingredients", n=len(weighed)))
    if any(p.group == "time" for p in alike):
        differ = any(p.group == "time" and not same(p) for p in pairs)
        names.append(tr("the other times") if differ else tr("the times"))
    return tr("The same: {names}.", names=", ".join(dict.fromkeys(names))) if names else ""
