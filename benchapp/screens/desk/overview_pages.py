"""All benches of the workshop on one page, and one of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import capitalised, tr, tr_n, tr_noop
from benchapp.make.waits import hours
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import in_words
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import PagedText, Paging
from benchapp.screens.widgets.rows_page import RowsPage, RowSpec
from benchapp.screens.widgets.text_line import TextLine

if TYPE_CHECKING:
    from collections.abc import Sequence as Channels

    from benchapp.runtime.bench_monitor import ChannelStatus
    from benchapp.service.overview import BenchNow

#: So many alarms stand over the benches.
MOST_ALARMS = 2
ALL_BENCHES = tr_noop("All benches")


class OverviewPage(RowsPage):
    """A row for each bench; ``look`` is called every frame, and asks anew when it is time to."""

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
        rows = [_row(one, partial(pick, one.bench)) for one in benches]
        alarms = [
            (tr("{bench}: {text}", bench=one.bench, text=text), True)
            for one in benches
            for text in one.alarms
        ]
        if len(alarms) > MOST_ALARMS:
            more_alarms = tr_n("One more alarm.", "{n} more alarms.", n=len(alarms) - MOST_ALARMS)
            alarms = [*alarms[:MOST_ALARMS], (more_alarms, True)]
        said = [*alarms, *standing] if rows else [*standing, (tr(ALONE), False)]
        super().__init__(sizes, tr(ALL_BENCHES), rows, paging, more, said)

    def live(self, seen: Channels[ChannelStatus]) -> None:
        """Look again."""
        self._look()


def _row(one: BenchNow, act: Callable[[], None]) -> RowSpec:
    """What is made, at which step, how long still; what is wrong there and stands nowhere else comes first, as the rest may
    be cut."""
    from benchapp.service.overview import IDLE  # likewise

    make = one.makes[0] if one.makes else None
    doing = [tr(IDLE)]
    if make is not None:
        doing = [tr("{product}: {doing}", product=make.product, doing=make.doing)]
        if len(one.makes) > 1:
            doing.append(tr("and {count} more", count=len(one.makes) - 1))
    rest = capitalised("; ".join(x for x in (*doing, one.waits, one.heard) if x))
    said = " ".join(x for x in (*one.wrong[len(one.alarms) :][:1], one.behind, rest) if x)
    left_s = make.left_s if make is not None else None
    figure = tr("{hours} left", hours=hours(left_s)) if left_s is not None and left_s > 0 else ""
    return RowSpec(f"{one.bench} ({one.short})", act, in_words(said), figure, bool(one.wrong))


def bench_page(
    sizes: Sizes, one: BenchNow, lines: Sequence[str], paging: Paging, more: Sequence[ButtonSpec]
) -> PagedText:
    """One bench: everything that is known of it."""
    wrong = set(one.wrong)
    texts = [
        TextLine(in_words(line), bold=line in wrong, color=d.CORAL if line in wrong else d.INK)
        for line in lines
    ]
    return PagedText(sizes, f"{one.bench} ({one.short})", texts, paging, more, sizes.note)
