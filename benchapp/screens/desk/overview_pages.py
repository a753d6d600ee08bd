"""All benches of the workshop on one page, and one of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from benchapp.foundation.language import capitalised, tr, tr_n, tr_noop
from benchapp.screens.desk.alarms_page import with_more_alarms
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import batches_in_words, in_words
from benchapp.screens.display.phrases import WAITS, held_together
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.text_line import TextLine

if TYPE_CHECKING:
    from collections.abc import Sequence as Channels

    from benchapp.runtime.bench_monitor import ChannelStatus
    from benchapp.screens.navigator import Routes
    from benchapp.service.overview import BenchNow

ALL_BENCHES = tr_noop("All benches")
#: What stands over the one bench that calls: what is known of it is some minutes old.
GO = tr_noop("Alarm on {bench}: go there now")
#: What is said of a bench that has said nothing for days.
SILENT = tr_noop("See whether it is on and in the network.")
#: Stands under the rooms of a desk to which no bench has joined; no typed command stands on the glass.
ASK = tr_noop(
    "Benches that join stand here as well. How one joins: “Several benches” in the guide that came with the program."
)
#: No more benches that call take a whole line each.
WHOLE_LINES = 3


class BetweenBenches(NamedTuple):
    """What is wrong between benches, a row each, and how the workshop stands, in a sentence or two."""

    wrong: Sequence[RowSpec] = ()
    said: str = ""


class OverviewPage(RowsPage):
    """A row for each bench, those that call first and in the colour of trouble, a whole line each; where they are many they have a page of
    their own (AlarmsPage), and here they are only counted. ``look`` is called every frame, and asks anew when it is time to."""

    def __init__(
        self,
        sizes: Sizes,
        benches: Sequence[BenchNow],
        standing: BetweenBenches,
        pick: Callable[[str], None],
        paging: Paging,
        more: Sequence[ButtonSpec],
        look: Callable[[], None] = lambda: None,
        rooms: Sequence[RowSpec] = (),
    ) -> None:
        """``benches``: the most dangerous first; ``rooms``: what there is to do where there are none."""
        self._look = look
        calling = [one for one in benches if one.alarms]
        many = len(calling) > WHOLE_LINES
        quiet = [_row(one, partial(pick, one.bench), not many) for one in benches if not one.alarms]
        rows = [
            *(() if many else (_calling_row(one, partial(pick, one.bench)) for one in calling)),
            *standing.wrong, *quiet,
        ]  # fmt: skip
        title = tr(ALL_BENCHES) if benches else tr("The desk")
        if many:
            title = tr("The other benches")
        elif len(calling) > 1:
            title = tr("{n} alarms, gravest first", n=len(calling))
        elif calling:
            title = tr(GO, bench=calling[0].bench)
        foot = TextLine(in_words(standing.said) if benches else tr(ASK), color=d.INK)
        super().__init__(
            sizes,
            title,
            rows if benches else rooms,
            paging,
            more,
            (),
            tr("{n} alarms", n=len(calling)) if many else "",
            foot,
        )

    def _round(self, paging: Paging, pages: Sequence[Sequence[RowSpec]]) -> list[ButtonSpec]:
        """Where some that call stand on later pages, the press says how many."""
        later = sum(row.calls for page in pages[self.number + 1 :] for row in page)
        return with_more_alarms(super()._round(paging, pages), later)

    def live(self, seen: Channels[ChannelStatus]) -> None:
        """Look again."""
        self._look()


def rooms_of(routes: Routes) -> tuple[RowSpec, ...]:
    """The rooms of a desk, a row each."""
    return (
        RowSpec("Recipes", routes.own_recipes, tr("Write one, change one, check it.")),
        RowSpec("Lots", routes.lots, tr("Receive one, judge one, see where it went.")),
        RowSpec(tr("To release"), routes.undecided, tr("Batches that wait for a decision.")),
        RowSpec(tr("Past batches"), routes.batches, tr("What was made: record, labels, where it went.")),
    )


def _calling_row(one: BenchNow, act: Callable[[], None]) -> RowSpec:
    """One that calls: what has to be done there, and how long ago that was known."""
    said = held_together(" ".join(in_words(text) for text in one.alarms))
    return RowSpec(one.bench, act, said, one.ago or one.heard, True, calls=True, broad=True)


def _row(one: BenchNow, act: Callable[[], None], steps: bool) -> RowSpec:
    """What is wrong there, else what is made, at which step (with ``steps``: not while many others call) and how long still; what
    waits; a line each."""
    from benchapp.service.overview import IDLE  # likewise

    make = one.makes[0] if one.makes else None
    lines = list(one.wrong[:1])
    if one.silent:
        lines.append(tr(SILENT))
    elif make is None:
        lines.append(tr(IDLE))
    if make is not None and not one.wrong:
        doing = tr("{product}: {doing}", product=make.product, doing=make.doing) if steps else make.product
        lines.append(", ".join(x for x in (doing, make.left) if x))
    if len(one.makes) > 1:
        lines.append(tr_n("and one more batch", "and {n} more batches", n=len(one.makes) - 1))
    lines += [one.waits] if not one.wrong else []
    said = "\n".join(capitalised(x) for x in lines if x)
    heard = tr("last heard {ago}", ago=one.ago) if one.ago else one.heard
    mark = "known" if one.silent else ""
    return RowSpec(one.bench, act, held_together(in_words(said)), heard, bool(one.wrong), mark, calm=True)


def bench_page(
    sizes: Sizes, one: BenchNow, routes: Routes, paging: Paging, more: Sequence[ButtonSpec]
) -> RowsPage:
    """One bench: everything that is known of it, a row each, which leads where it is settled."""
    if one.alarms:
        return RowsPage(sizes, tr(GO, bench=one.bench), tuple(_matters(one, routes)), paging)
    title = tr("{bench}: {heard}", bench=one.bench, heard=in_words(one.heard))
    return RowsPage(sizes, title, tuple(_matters(one, routes)), paging, more)


def _matters(one: BenchNow, routes: Routes) -> Iterator[RowSpec]:
    """What calls, what is made or held, what waits for a decision, what is wrong with the bench itself."""
    for make in one.makes:
        act = partial(routes.batch, make.batch)
        made = tr("{product}, {grams:g} g", product=make.product, grams=make.batch_g)
        for text in make.wrong:
            said = held_together(in_words(text))
            name = tr("{bench}: {product}", bench=one.bench, product=make.product)
            yield RowSpec(name, act, said, one.ago, True, calls=True, broad=True)
        if make.held:
            yield RowSpec(
                made, act, tr("Held by {maker}: {why}", maker=make.maker, why=make.held), mark="known"
            )
        elif not make.wrong:
            doing = capitalised(", ".join(x for x in (make.doing, make.left) if x))
            by = (
                tr("a rehearsal by {maker}", maker=make.maker)
                if make.rehearsal
                else tr("by {maker}", maker=make.maker)
            )
            yield RowSpec(made, act, held_together(f"{doing}\n{capitalised(by)}"))
    for batch in one.waiting:
        due = [c.check.name for c in one.due if c.batch == batch and c.state == "due"]
        said = tr("Due: {names}", names=", ".join(due)) if due else capitalised(tr(WAITS))
        mark = "soon" if due else "later"
        yield RowSpec(batches_in_words(batch), partial(routes.release, batch), said, mark=mark)
    for text in (*one.trouble, *one.unread, one.behind):
        if text:
            said = batches_in_words(text).rstrip(".")
            yield RowSpec(said, routes.benches, wrong=text != one.behind)
