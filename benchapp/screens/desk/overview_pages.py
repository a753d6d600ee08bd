"""All benches of the workshop on one page, and one of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import capitalised, tr, tr_noop
from benchapp.make.waits import hours
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import in_words
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
        from benchapp.service.several_benches import ALONE  # the first frame does not wait for the database

        self._look = look
        calling = [one for one in benches if one.alarms]
        several = calling if len(calling) > 1 else []
        rows = [
            _calling_row(one, partial(pick, one.bench))
            if one in several
            else _row(one, partial(pick, one.bench), one in calling)
            for one in benches
        ]
        said = list(standing) if rows else [(tr(ALONE), False)]
        if several:
            said.insert(0, (tr("{n} benches call.", n=len(several)), True))
        alone = calling[:1] if len(calling) == 1 else []
        loudest = "".join(
            tr(
                "{bench}: {text}",
                bench=tr("{bench}, {heard}", bench=one.bench, heard=in_words(one.heard)),
                text=one.alarms[0],
            )
            for one in alone
        )
        super().__init__(sizes, tr(ALL_BENCHES), rows, paging, more, said, loudest)

    def live(self, seen: Channels[ChannelStatus]) -> None:
        """Look again."""
        self._look()


def _calling_row(one: BenchNow, act: Callable[[], None]) -> RowSpec:
    """One of several that call: what calls there, as loud as with the others, and since when nobody knows better."""
    said = " ".join(in_words(text) for text in (*one.alarms, f"{capitalised(one.heard)}."))
    return RowSpec(f"{one.bench} ({one.short})", act, said, _left(one), True, calls=True)


def _left(one: BenchNow) -> str:
    """How long what is made there still takes, "" where that is not known."""
    left_s = one.makes[0].left_s if one.makes else None
    return tr("{hours} left", hours=hours(left_s)) if left_s is not None and left_s > 0 else ""


def _row(one: BenchNow, act: Callable[[], None], loudest: bool) -> RowSpec:
    """What is made, at which step, how long still, a line each; what is wrong there comes first, as the rest may be cut.
    ``loudest``: its first alarm stands over the rows already."""
    from benchapp.service.overview import IDLE  # likewise

    make = one.makes[0] if one.makes else None
    doing = [tr(IDLE)]
    if make is not None:
        doing = [tr("{product}: {doing}", product=make.product, doing=make.doing)]
        if len(one.makes) > 1:
            doing.append(tr("and {count} more", count=len(one.makes) - 1))
    said = "\n".join(
        capitalised(x)
        for x in (*one.wrong[loudest:][:1], one.behind, "; ".join(doing), one.waits, one.heard)
        if x
    )
    return RowSpec(f"{one.bench} ({one.short})", act, in_words(said), _left(one), bool(one.wrong))


def bench_page(
    sizes: Sizes, one: BenchNow, lines: Sequence[str], paging: Paging, more: Sequence[ButtonSpec]
) -> PagedText:
    """One bench: everything that is known of it."""
    wrong, calls = set(one.wrong), one.alarms[:1]
    texts = [
        TextLine(in_words(line), bold=line in wrong, color=d.CORAL if line in wrong else d.INK)
        for line in lines
        if line not in (*calls, f"{capitalised(one.heard)}.")
    ]
    title = tr("{bench} ({short}), {heard}", bench=one.bench, short=one.short, heard=one.heard)
    return PagedText(sizes, in_words(title), texts, paging, more, sizes.note, "".join(calls))
