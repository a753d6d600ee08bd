"""Many benches that call, on one page: what has to be done there as a heading, the gravest first, under it each bench that wants it by its name."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from benchapp.foundation.language import tr, tr_n, tr_noop
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import in_words
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowButton, RowSpec, on_one_line, row_high
from benchapp.screens.widgets.row_plan import HIGH, lay_level
from benchapp.screens.widgets.surface import Area
from benchapp.screens.widgets.text_label import TextLabel, natural_wide, wrapped_high

if TYPE_CHECKING:
    from benchapp.service.overview import BenchNow

#: No more stand beside each other.
MOST_COLUMNS = 5
#: What stands over those of which nothing is known but that they call.
OTHERWISE = tr_noop("Look what is wrong there")
#: Why a pot calls, by the kind of its alarm: see benchapp.make.alarms.
CALLS = {"too hot": tr_noop("{pot} too hot"), "not warming": tr_noop("{pot} not warming")}


class AlarmLine(NamedTuple):
    """Cards beside each other, and what stands over them; "" where that stands over the line before."""

    head: str
    cards: Sequence[RowSpec]


class AlarmsPage(Page):
    """As large as leaves room for all of them; where they take several pages, the press to the next says how many are there. ``cards`` are those
    of this page. ``look`` is called every frame."""

    def __init__(
        self,
        sizes: Sizes,
        benches: Sequence[BenchNow],
        pick: Callable[[str], None],
        paging: Paging,
        others: Callable[[], None],
        look: Callable[[], None] = lambda: None,
    ) -> None:
        """``benches``: those that call, the most dangerous first; ``others`` shows those that do not."""
        super().__init__(sizes, tr("{n} alarms, gravest first", n=len(benches)))
        self._look, self.low = look, self.above_bottom
        groups = grouped(benches, pick)
        whole = (f for f in sizes.ladder[:2] if all(natural_wide(head, f) <= self.wide for head in groups))
        self._heads = next(whole, sizes.between)
        pages = self._planned(groups)
        self.number = min(paging.number, len(pages) - 1)
        self.cards = [card for line in pages[self.number] for card in line.cards]
        later = sum(len(line.cards) for page in pages[self.number + 1 :] for line in page)
        turns = with_more_alarms(paging.round(self.number, len(pages)), later)
        self.bottom([paging.back_button, (tr("The other benches"), others, "plain"), *turns])
        self._lay(pages[self.number])

    def live(self, seen: Sequence[object]) -> None:
        """Look again."""
        self._look()

    def _planned(self, groups: dict[str, list[RowSpec]]) -> list[list[AlarmLine]]:
        """Their lines on as few pages as can be, in the largest words that have room so."""
        s, cards = self.sizes, [card for group in groups.values() for card in group]
        most = 2 if self.panel.portrait else MOST_COLUMNS
        line, between, note, small = s.ladder
        ways = []
        for fonts in ((line, between), (between, between), (between, note), (note, note), (note, small)):
            for columns in range(1, most + 1):
                self._fonts, self._columns = fonts, columns
                if columns == 1 or all(on_one_line(card, s, fonts[0], self._card_wide) for card in cards):
                    pages = self._paginated(list(_lines(groups, columns)))
                    ways.append((len(pages), fonts, columns))
                    if len(pages) == 1:
                        return pages
        _, self._fonts, self._columns = min(ways, key=lambda way: way[0])
        return self._paginated(list(_lines(groups, self._columns)))

    @property
    def _card_wide(self) -> float:
        return (self.wide - self.sizes.gap * (self._columns - 1)) / self._columns

    def _paginated(self, lines: Sequence[AlarmLine]) -> list[list[AlarmLine]]:
        pages: list[list[AlarmLine]] = [[]]
        room, head = self.pen_y - self.low + self.sizes.gap, ""
        left = room
        for line in lines:
            head = line.head or head
            needed = self._line_high(line)
            if needed > left and pages[-1]:
                pages.append([])
                line = line._replace(head=head)  # said again over those of the next page
                needed, left = self._line_high(line), room
            pages[-1].append(line)
            left -= needed
        return pages

    def _line_high(self, line: AlarmLine) -> float:
        return self._head_high(line) + self._cards_high(line) + self.sizes.gap

    def _head_high(self, line: AlarmLine) -> float:
        if not line.head:
            return 0.0
        return wrapped_high(line.head, self._heads, True, int(self.wide)) + self.sizes.gap * 0.4

    def _cards_high(self, line: AlarmLine) -> float:
        highs = (row_high(card, self.sizes, self._fonts, self._card_wide) for card in line.cards)
        return max(*highs, float(self.sizes.action))

    def _lay(self, lines: Sequence[AlarmLine]) -> None:
        s, wide = self.sizes, self._card_wide
        spare = (self.pen_y - self.low + s.gap - sum(map(self._line_high, lines))) / max(len(lines), 1)
        for line in lines:
            if line.head:
                words = TextLabel(line.head, self._heads, d.CORAL, bold=True)
                self.hang(words)
                words.place(self.left, self.pen_y, self.wide)
                self.pen_y -= self._head_high(line)
            high = self._cards_high(line)
            high = max(high, min(high + spare, s.action * HIGH))
            buttons = [RowButton(card, s, self._fonts) for card in line.cards]
            place = Area(self.left, self.pen_y - high, self.wide, self.pen_y)
            lay_level(self, s, buttons, [wide] * len(buttons), place)
            self.pen_y -= high + s.gap


def with_more_alarms(turns: list[ButtonSpec], later: int) -> list[ButtonSpec]:
    """What turns the page, the last of them saying how many alarms stand on later ones, where any do."""
    if not later or not turns:
        return turns
    said = tr_n("{n} more alarm: next page", "{n} more alarms: next page", n=later)
    return [*turns[:-1], (said, turns[-1][1], "serious")]


def grouped(benches: Sequence[BenchNow], pick: Callable[[str], None]) -> dict[str, list[RowSpec]]:
    """A card for each bench under what has to be done there: that of the most dangerous bench first, and in each the hottest first, alike by name."""
    groups: dict[str, list[BenchNow]] = {}
    for one in benches:
        groups.setdefault(one.deed or tr(OTHERWISE), []).append(one)
    return {
        head: [_card(one, partial(pick, one.bench)) for one in sorted(found, key=lambda one: (-_heat(one), by_name(one.bench)))]
        for head, found in groups.items()
    }  # fmt: skip


def _heat(one: BenchNow) -> float:
    """How hot the worst of its pots is, in whole degrees as they stand on its card; the least where nobody knows."""
    return -math.inf if one.worst is None or one.worst.temp_c is None else round(one.worst.temp_c)


def by_name(name: str) -> list[tuple[int, str]]:
    """What sorts names as people do: the numbers in them by their value."""
    return [(int(part), "") if part.isdecimal() else (-1, part) for part in re.split(r"(\d+)", name) if part]


def _card(one: BenchNow, act: Callable[[], None]) -> RowSpec:
    """Where, how hot, which pot, why it calls, and how long ago that was known; what is wrong there in its own words where no pot is known of."""
    worst, ago = one.worst, one.ago or one.heard
    if worst is None or not worst.pot:
        first = in_words(one.alarms[0]).partition(". ")[0].rstrip(".")
        return RowSpec(one.bench, act, "\n".join((first, ago)), calls=True)
    figure = "" if worst.temp_c is None else tr("{temp_c:.0f} °C", temp_c=worst.temp_c)
    why = tr(CALLS[worst.alarm], pot=worst.pot) if worst.alarm in CALLS else worst.pot
    return RowSpec(one.bench, act, "\n".join((why, ago)), figure, calls=True)


def _lines(groups: dict[str, list[RowSpec]], columns: int) -> Iterator[AlarmLine]:
    for head, cards in groups.items():
        for n in range(0, len(cards), columns):
            yield AlarmLine("" if n else head, cards[n : n + columns])
