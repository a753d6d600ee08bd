"""Whether a batch may leave: what is open, each to be settled by its own row, and the decision."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_n, translated
from benchapp.screens.desk.batch_rows import check_row, deviation_row, open_said, result, settled
from benchapp.screens.desk.decided_page import DECIDED, DecidedPage
from benchapp.screens.display.dates import day, heading, in_words, leaf, product_named, short_day
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import ROOMY_PX, Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.desk_facts import BatchFacts, Undecided

if TYPE_CHECKING:
    from benchapp.record.deviations import Deviation
    from benchapp.record.release import DueCheck


@dataclass(frozen=True, slots=True)
class ReleaseActs:
    """What is done from the page of a release: let it go, say that it may not go, write a check down, judge a deviation, read
    the record; turn to another of its pages."""

    let_go: Callable[[], None]
    not_so: Callable[[], None]
    check: Callable[[DueCheck], None]
    judge: Callable[[Deviation], None]
    record: Callable[[], None]
    back: Callable[[], None]
    turn: Callable[[int], None]


class ReleaseRows(RowsPage):
    """What is open before a batch may leave."""

    one_line_title = True


def release_page(sizes: Sizes, b: BatchFacts, acts: ReleaseActs, number: int = 0) -> Page:
    """What is open, each as a row that settles it, and what is settled in small under them; or the decision, with what the
    law does not say."""
    wrong: list[ButtonSpec] = []
    if b.releasers and not b.line.rehearsal and b.line.decision != "rejected":
        label = tr("Take back from sale") if b.line.decision == "released" else tr("Reject or rework")
        wrong = [(label.replace(" ", "\u00a0"), acts.not_so, "serious")]
    if b.line.decision in DECIDED:
        quiet = [(x, act, "plain") for x, act, _ in wrong]
        return DecidedPage(
            sizes, b, [("Back", acts.back, "plain"), *quiet, (tr("Its record"), acts.record, "plain")]
        )
    roomy = sizes.panel.height >= ROOMY_PX  # else what is settled stands on the batch's page alone
    return ReleaseRows(
        sizes,
        _question(b),
        _rows(b, acts),
        Paging(acts.back, acts.turn, number),
        [*wrong, *_next(b, acts)],
        _said(b),
        foot=TextLine(b.unknown_in_short if not b.against else _settled(b) if roomy else ""),
    )


def _next(b: BatchFacts, acts: ReleaseActs) -> list[ButtonSpec]:
    """What is done next: the checks that are due, then what is to be judged, then the decision."""
    if (due := next((c for c in b.checks if c.state == "due"), None)) is not None:
        return [(tr("Do the checks"), partial(acts.check, due), "main")]
    if not b.releasers:
        return []
    if b.blocking:
        return [(tr("Judge the deviation"), partial(acts.judge, b.blocking[0]), "main")]
    return [] if b.against else [(tr("Release this batch"), acts.let_go, "main")]


def _rows(b: BatchFacts, acts: ReleaseActs) -> list[RowSpec]:
    """What has to be done first, what waits next; what is settled where nothing else is there."""
    open_ones = [check_row(c, partial(acts.check, c)) for c in b.checks if c.state == "due"]
    open_ones += [deviation_row(x, partial(acts.judge, x), b.releasers) for x in b.blocking]
    open_ones += [
        RowSpec(tr("Not yet"), acts.record, in_words(text), wrong=True, mark="bad")
        for text in b.against_otherwise
    ]
    states = ("failed", "waiting") if b.against else ("failed", "waiting", "passed")
    later = [c for state in states for c in b.checks if c.state == state]
    return open_ones + [check_row(c, acts.record) for c in later]


def _settled(b: BatchFacts) -> str:
    """What is no longer open, in one line."""
    found = [settled(c) for c in b.checks if c.state == "passed"]
    return tr("Settled: {names}", names=" · ".join(found)) if found else ""


def _said(b: BatchFacts) -> list[tuple[str, bool]]:
    """What speaks against it and is no row, and what to do with the rows."""
    said: list[tuple[str, bool]] = []
    if not b.releasers and not b.line.rehearsal:
        said.append((tr("Nobody here may release. A releaser is enrolled at the desk's computer."), True))
    if not b.against:
        said.append((tr("Nothing speaks against it."), False))
    elif opened := open_said(b):
        said.append((opened, True))
    return said


def wrong_page(
    sizes: Sizes, b: BatchFacts, decide: Callable[[str], None], back: Callable[[], None]
) -> RowsPage:
    """What becomes of a batch that may not go: ``decide`` gets "rework" or "rejected"."""
    released = b.line.decision == "released"
    reject = (
        tr("It is called back from wherever it went, and thrown away. Nobody can undo that.")
        if released
        else tr("It is thrown away. Nobody can undo that.")
    )
    rows = [RowSpec(tr("Reject it"), partial(decide, "rejected"), reject, wrong=True)]
    if not released:
        over = tr("It is mended, and every check is done anew.")
        rows.insert(0, RowSpec(tr("Rework it"), partial(decide, "rework"), over))
    return RowsPage(sizes, tr("What becomes of it? {name}", name=heading(b.line)), rows, Paging(back))


def undecided_page(
    sizes: Sizes,
    waiting: Sequence[Undecided],
    release: Callable[[str], None],
    paging: Paging,
    begin: Callable[[], None] | None = None,
) -> RowsPage:
    """Finished batches that wait, with what is due of each; ``begin``: where none does, a next one is made, None where no bench is."""
    alike = Counter((one.procedure, one.wall[:10]) for one in waiting)
    older = sorted(waiting, key=lambda one: one.wall)  # it presses more
    rows = [
        _waiting_row(one, partial(release, one.batch), alike[one.procedure, one.wall[:10]] > 1)
        for one in older
    ]
    if rows:
        first = older[0]
        check = tr("Check the batch of {day}", day=short_day(first.wall).replace(" ", "\u00a0"))
        leads: list[ButtonSpec] = [(check, partial(release, first.batch), "main")]
        title = tr_n("One batch waits to be released", "{n} batches wait to be released", n=len(waiting))
        return RowsPage(sizes, title, rows, paging, leads if rows[0].mark in ("soon", "open") else [])
    more: list[ButtonSpec] = [] if begin is None else [(tr("Make a batch"), begin, "main")]
    none = tr("Every finished batch is released or rejected.")
    page = RowsPage(sizes, tr("No batch waits"), rows, paging, more, [(none, False)])
    page.titled("good")
    return page


def _waiting_row(one: Undecided, release: Callable[[], None], one_of_some: bool) -> RowSpec:
    """What is due of it, else what is due first; ``one_of_some``: its name has to tell it apart."""
    due = [c for c in one.checks if c.state == "due"]
    later = [
        tr("{name} from {in_words}", name=translated(c.check.name), in_words=in_words(c.due_words))
        for c in one.checks
        if c.state == "waiting"
    ]
    said = [
        tr("{name}: {how}", name=translated(c.check.name), how=result(c).replace(" ", "\u00a0")) for c in due
    ]
    parts = said or later[:1] or [tr("every check is written down")]
    parts += [one.batch] if one_of_some else []
    late = any(c.late_days for c in due)
    mark = "open" if late else "soon" if due else "later" if later else "good"
    name = product_named(one.procedure)
    return RowSpec(name, release, "\n".join(parts), wrong=late, mark=mark, day=leaf(one.wall))


def _question(b: BatchFacts) -> str:
    """Whether it may go, in one sentence."""
    name = heading(b.line)
    if not b.against:
        return tr("Release {name}?", name=name)
    first = min((c.due for c in b.checks if c.state == "waiting"), default="")
    if first and not b.line.rehearsal:
        return tr("Not before {day}: {name}", day=day(first), name=name)
    return tr("Not released: {name}", name=name)
