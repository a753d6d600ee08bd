"""All benches of the workshop on one page, and one of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import capitalised, tr, tr_n, tr_noop
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import batches_in_words, in_words
from benchapp.screens.display.phrases import held_together
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import PagedText, Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import NO_FOOT, RowsPage
from benchapp.screens.widgets.text_line import TextLine

if TYPE_CHECKING:
    from collections.abc import Sequence as Channels

    from benchapp.runtime.bench_monitor import ChannelStatus
    from benchapp.service.overview import BenchNow

ALL_BENCHES = tr_noop("All benches")
#: No more benches that call take a whole line each.
WHOLE_LINES = 3
#: Where more call, their rows stand in so many columns at the most.
MOST_COLUMNS = 3


class OverviewPage(RowsPage):
    """A row for each bench, those that call first and in the colour of trouble, a whole line each where they are few. ``look`` is called
    every frame, and asks anew when it is time to."""

    def __init__(
        self,
        sizes: Sizes,
        benches: Sequence[BenchNow],
        standing: Sequence[tuple[str, bool]],
        pick: Callable[[str], None],
        paging: Paging,
        more: Sequence[ButtonSpec],
        look: Callable[[], None] = lambda: None,
    ) -> None:
        """``standing``: how the workshop stands, and whether each line says that something is wrong."""
        from benchapp.service.several_benches import ALONE  # the first frame does not wait for the database

        self._look = look
        calling = [one for one in benches if one.alarms]
        self._calling = len(calling)
        several = calling if len(calling) > 1 else []
        if len(several) > WHOLE_LINES:  # all of them on one page, as far as that can be
            self.most_columns = MOST_COLUMNS
        rows = [
            _calling_row(one, partial(pick, one.bench), len(several) <= WHOLE_LINES)
            if one in several
            else _row(one, partial(pick, one.bench))
            for one in sorted(benches, key=lambda one: not one.alarms)
        ]
        title = tr("Alarm on {n} benches", n=len(several)) if several else tr(ALL_BENCHES)
        loudest = "".join(
            tr("{bench}, {ago}: {text}", bench=one.bench, ago=one.ago, text=one.alarms[0])
            for one in calling[: int(not several)]
        )
        foot = NO_FOOT
        if rows and len(several) <= WHOLE_LINES:  # under the benches: what calls needs the room
            foot = TextLine(
                " ".join(text for text, _ in standing),
                color=d.CORAL if any(wrong for _, wrong in standing) else d.SLATE,
            )
        alone = [] if rows else [(tr(ALONE), False)]
        super().__init__(sizes, title, rows, paging, more if rows else (), alone, loudest, foot)

    def _round(self, paging: Paging, pages: Sequence[Sequence[RowSpec]]) -> list[ButtonSpec]:
        """Where some that call stand on later pages, the press says how many."""
        buttons = super()._round(paging, pages)
        later = self._calling - sum(row.calls for page in pages[: self.number + 1] for row in page)
        if not buttons or self._calling < 2 or later <= 0:
            return buttons
        said = tr_n("{n} more alarm: next page", "{n} more alarms: next page", n=later)
        return [*buttons[:-1], (said, buttons[-1][1], "serious")]

    def live(self, seen: Channels[ChannelStatus]) -> None:
        """Look again."""
        self._look()


def _calling_row(one: BenchNow, act: Callable[[], None], whole_line: bool) -> RowSpec:
    """One of several that call: what has to be done there, as loud as with the others, and how long ago that was known."""
    said = held_together(" ".join(in_words(text) for text in one.alarms))
    return RowSpec(one.bench, act, said, one.ago, True, calls=True, broad=whole_line)


def _row(one: BenchNow, act: Callable[[], None]) -> RowSpec:
    """What is wrong there, else what is made, at which step and how long still; what waits; a line each."""
    from benchapp.service.overview import IDLE  # likewise

    make = one.makes[0] if one.makes else None
    lines = list(one.wrong[:1])
    if make is None:
        lines.append(tr(IDLE))
    elif not one.wrong:
        doing = tr("{product}: {doing}", product=make.product, doing=make.doing)
        lines.append(", ".join(x for x in (doing, make.left) if x))
    if len(one.makes) > 1:
        lines.append(tr_n("and one more batch", "and {n} more batches", n=len(one.makes) - 1))
    lines += [one.waits] if not one.wrong else []
    lines += [one.heard] if not one.alarms and one.ago != tr("just now") else []
    said = "\n".join(capitalised(x) for x in lines if x)
    standing = one.ago if one.alarms else tr("is held") if one.wrong else ""
    return RowSpec(
        one.bench, act, held_together(in_words(said)), standing, bool(one.wrong), calm=not one.alarms
    )


def bench_page(
    sizes: Sizes, one: BenchNow, lines: Sequence[str], paging: Paging, more: Sequence[ButtonSpec]
) -> PagedText:
    """One bench: everything that is known of it."""
    wrong, calls = set(one.wrong), one.alarms[:1]
    texts = [
        TextLine(batches_in_words(line), bold=line in wrong, color=d.CORAL if line in wrong else d.INK)
        for line in lines
        if line not in (*calls, f"{capitalised(one.heard)}.")
    ]
    title = tr("{bench}: {heard}", bench=one.bench, heard=in_words(one.heard))
    return PagedText(sizes, title, texts, paging, more, sizes.note, "".join(calls))
