"""Whether a batch may leave: its checks, what speaks against it, and the three decisions."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day, in_words, leaf, product_named
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.desk_facts import BatchFacts, Undecided

if TYPE_CHECKING:
    from benchapp.record.release import DueCheck

#: How a check's state is said beside its shape.
STATES = {
    "waiting": tr_noop("not yet due"),
    "due": tr_noop("due now"),
    "passed": "passed",
    "failed": "failed",
}


def release_page(
    sizes: Sizes,
    b: BatchFacts,
    decide: Callable[[str], None],
    write_check: Callable[[DueCheck], None],
    back: Callable[[], None],
) -> Page:
    """What speaks against letting it go, and the three decisions: "released", "rejected", "rework"."""
    page = Page(sizes, _question(b))
    buttons: list[ButtonSpec] = [("Back", back, "plain")]
    if b.releasers:
        buttons += [
            (tr("Reject it"), partial(decide, "rejected"), "serious"),
            (tr("Work it over"), partial(decide, "rework"), "serious"),
        ]
        if not b.against:
            buttons.append((tr("Release it"), partial(decide, "released"), "main"))
    page.bottom(buttons)
    decided = {"released": "good", "rejected": "bad"}.get(b.line.decision, "")
    page.titled(decided or ("later" if b.against else "good"))
    page.line(tr("batch {batch}", batch=b.line.batch), sizes.note, color=d.SLATE)
    open_checks = [c for c in b.checks if c.state == "due"]
    row = (
        sizes.action + sizes.gap if open_checks else 0.0
    )  # what is due can be written down, however much there is to read
    page.low += row
    against = [
        TextLine(in_words(text), mark="later" if decided else "open", bold=not decided) for text in b.against
    ]
    against = against or [TextLine(tr("Nothing speaks against it."), True, d.KELP)]
    against += [
        TextLine(f"{c.check.name}: {translated(STATES[c.state])}, {c.result_words}", mark="good")
        for c in b.checks
        if c.state == "passed"
    ]
    if not b.releasers and not b.line.rehearsal:
        nobody = tr("Nobody here may release. A releaser is enrolled at the desk's computer.")
        against.append(TextLine(nobody, True))
    page.listed_large(against, keep=b.unknown_in_short)
    page.low -= row
    page.stack(
        [
            (
                tr("Write down: {name}", name=c.check.name),
                partial(write_check, c),
                "main" if len(open_checks) == 1 else "plain",
            )
            for c in open_checks
        ]
    )
    return page


def undecided_page(
    sizes: Sizes, waiting: Sequence[Undecided], release: Callable[[str], None], paging: Paging
) -> RowsPage:
    """Finished batches that wait, with what is due of each."""
    rows = []
    alike = Counter((one.procedure, one.wall[:10]) for one in waiting)
    for one in waiting:
        due = [c.check.name for c in one.checks if c.state == "due"]
        later = [
            tr("{name} from {in_words}", name=c.check.name, in_words=in_words(c.due_words))
            for c in one.checks
            if c.state == "waiting"
        ]
        said = (
            tr("due: {names}", names=", ".join(due))
            if due
            else later[0]
            if later
            else tr("every check is written down")
        )
        parts = [said, one.batch] if alike[one.procedure, one.wall[:10]] > 1 else [said]
        name, mark = product_named(one.procedure), "open" if due else "later" if later else "good"
        rows.append(
            RowSpec(name, partial(release, one.batch), " · ".join(parts), mark=mark, day=leaf(one.wall))
        )
    none = [] if rows else [(tr("No finished batch waits."), False)]
    return RowsPage(sizes, tr("Waiting for a decision"), rows, paging, (), none)


def requirement(due: DueCheck) -> str:
    """What a check has to find, after what it found."""
    c = due.check
    limits = "" if c.low is None or c.high is None else tr("{low:g} to {high:g}", low=c.low, high=c.high)
    return "; ".join(part for part in (due.result_words, limits, c.expect) if part)


def _question(b: BatchFacts) -> str:
    """Whether it may go, in one sentence."""
    product = product_named(b.line.procedure)
    if b.line.decision == "released":
        return tr("Released: {name}", name=product)
    if b.line.decision == "rejected":
        return tr("Rejected: {name}", name=product)
    if not b.against:
        return tr("Release {name}?", name=product)
    first = min((c.due for c in b.checks if c.state == "waiting"), default="")
    if first and not b.line.rehearsal:
        return tr("Not before {day}: {name}", day=day(first), name=product)
    return tr("Not yet: {name}", name=product)
