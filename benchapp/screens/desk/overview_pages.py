"""All benches of the workshop on one page, and one of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import capitalised, tr, tr_noop
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import batches_in_words, in_words
from benchapp.screens.display.phrases import held_together
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import PagedText, Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.text_line import TextLine

if TYPE_CHECKING:
    from collections.abc import Sequence as Channels

    from benchapp.runtime.bench_monitor import ChannelStatus
    from benchapp.service.overview import BenchNow

ALL_BENCHES = tr_noop("All benches")
#: No more benches that call take a whole line each.
WHOLE_LINES = 3


class OverviewPage(RowsPage):
    """A row for each bench; where several call, each of them takes a whole line in the colour of trouble. ``look`` is called
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
        """``standing``: lines over the rows, and whether each says that something is wrong."""
        from benchapp.service.several_benches import (
            ALONE,
            HOW_TO_JOIN,
        )  # the first frame does not wait for the database

        self._look = look
        calling = [one for one in benches if one.alarms]
        several = calling if len(calling) > 1 else []
        rows = [
            _calling_row(one, partial(pick, one.bench), len(several) <= WHOLE_LINES)
            if one in several
            else _row(one, partial(pick, one.bench), one in calling)
            for one in sorted(benches, key=lambda one: not one.alarms)
        ]
        title = tr("{n} benches call", n=len(several)) if several else tr(ALL_BENCHES)
        loudest = "".join(
            tr("{bench}, {ago}: {text}", bench=one.bench, ago=one.ago, text=one.alarms[0])
            for one in calling[: int(not several)]
        )
        alone = [(tr(ALONE), False), (tr(HOW_TO_JOIN), False)]
        foot = " ".join(text for text, _ in standing) if several else ""  # those who call need the room
        said = alone if not rows else [] if several else list(standing)
        super().__init__(sizes, title, rows, paging, more if rows else (), said, loudest, foot)

    def live(self, seen: Channels[ChannelStatus]) -> None:
        """Look again."""
        self._look()


def _calling_row(one: BenchNow, act: Callable[[], None], whole_line: bool) -> RowSpec:
    """One of several that call: what has to be done there, as loud as with the others, and how long ago that was known."""
    said = held_together(" ".join(in_words(text) for text in one.alarms))
    return RowSpec(one.bench, act, said, one.ago, True, calls=True, broad=whole_line)


def _row(one: BenchNow, act: Callable[[], None], loudest: bool) -> RowSpec:
    """What is wrong there, what is made, at which step and how long still, what waits, a line each. ``loudest``: its
    first alarm stands over the rows already."""
    from benchapp.service.overview import IDLE  # likewise

    lines = list(one.wrong[loudest:][:1])
    make = one.makes[0] if one.makes else None
    if make is None:
        lines.append(tr(IDLE))
    elif not make.held:
        doing = tr("{product}: {doing}", product=make.product, doing=make.doing)
        lines.append(", ".join(x for x in (doing, make.left) if x))
    if len(one.makes) > 1:
        lines.append(tr("and {count} more", count=len(one.makes) - 1))
    lines += [one.waits] if not one.wrong else []
    lines += [one.heard] if not one.alarms and one.ago != tr("just now") else []
    said = "\n".join(capitalised(x) for x in lines if x)
    standing = tr("calls") if one.alarms else tr("is held") if one.wrong else ""
    return RowSpec(one.bench, act, held_together(in_words(said)), standing, bool(one.wrong), calm=True)


def bench_page(
    sizes: Sizes, one: BenchNow, lines: Sequence[str], paging: Paging, more: Sequence[ButtonSpec]
) -> PagedText:
    """One bench: everything that is known of it."""
    wrong, calls = set(one.wrong), one.alarms[:1]

    def named(line: str) -> str:
        """What waits is said by its product and day; what is being made, with the name it has."""
        return batches_in_words(line) if any(batch in line for batch in one.waiting) else in_words(line)

    texts = [
        TextLine(named(line), bold=line in wrong, color=d.CORAL if line in wrong else d.INK)
        for line in lines
        if line not in (*calls, f"{capitalised(one.heard)}.")
    ]
    title = tr("{bench}: {heard}", bench=one.bench, heard=in_words(one.heard))
    return PagedText(sizes, title, texts, paging, more, sizes.note, "".join(calls))
