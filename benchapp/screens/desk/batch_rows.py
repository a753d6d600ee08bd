"""What a batch's checks and deviations look like as rows, and a batch as people name it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from benchapp.foundation.language import number, tr, tr_n, tr_noop, translated
from benchapp.make.waits import late
from benchapp.screens.display.dates import day
from benchapp.screens.widgets.row_button import RowSpec

if TYPE_CHECKING:
    from benchapp.record.deviations import Deviation
    from benchapp.record.release import DueCheck
    from benchapp.service.desk_facts import BatchFacts

#: What is written down of a check without a number that came out well.
AS_IT_HAS_TO_BE = tr_noop("As it has to be")
#: How a check's state is said beside its shape.
STATES = {
    "waiting": tr_noop("not yet due"),
    "due": tr_noop("due now"),
    "passed": "passed",
    "failed": "failed",
}
MARKS_OF = {"waiting": "later", "due": "open", "passed": "good", "failed": "bad"}


def containers_said(b: BatchFacts) -> str:
    """How many containers, and how many of them are here yet; "" where it was not filled."""
    if not b.line.containers:
        return ""
    said = tr_n("{n} container", "{n} containers", n=b.line.containers)
    if b.gone:
        said = ", ".join((said, tr("{n} still here", n=b.line.containers - len(b.gone))))
    return said


def open_said(b: BatchFacts) -> str:
    """How many checks are due and how many deviations are to be judged, "" where there are none."""
    checks, deviations = sum(c.state == "due" for c in b.checks), len(b.blocking)
    if checks and deviations:
        return tr(
            "{checks} and {deviations} open",
            checks=tr_n("{n} check", "{n} checks", n=checks),
            deviations=tr_n("{n} deviation", "{n} deviations", n=deviations),
        )
    if deviations:
        return tr_n("{n} deviation is to be judged", "{n} deviations are to be judged", n=deviations)
    return tr_n("{n} check is due", "{n} checks are due", n=checks) if checks else ""


def check_row(due: DueCheck, act: Callable[[], None]) -> RowSpec:
    """A release check: what it came to at the end of the row; under its name its limits, who found it and when. What has to be
    found is asked where it is written down."""
    parts = [*_differing(due), allowed(due), *found_by(due)]
    said = " · ".join(p for p in parts if p)
    wrong = due.state == "failed" or due.late_days > 0
    mark = "soon" if due.state == "due" and not wrong else MARKS_OF[due.state]
    return RowSpec(due.check.name, act, said, result(due), wrong, mark, calm=due.state == "due")


def result(due: DueCheck) -> str:
    """What a check came to, in a word or its number; from when it can be done, or that it is due."""
    if due.state == "waiting":
        return tr("from {day}", day=day(due.due))
    if due.late_days:
        return late(due.late_days)
    if due.result is not None and due.result.value is not None:
        return number(due.result.value)
    return translated(STATES[due.state])


def allowed(due: DueCheck) -> str:
    """Its limits, with as many decimals on either side."""
    low, high = due.check.low, due.check.high
    if low is None or high is None:
        return ""
    places = max(len(f"{v:g}".partition(".")[2]) for v in (low, high))
    return tr("allowed: {low} to {high}", low=number(low, f".{places}f"), high=number(high, f".{places}f"))


def found_by(due: DueCheck) -> list[str]:
    """Who found it, and when."""
    if due.result is None:
        return []
    return [", ".join(x for x in (due.result.by, day(due.written)) if x)]


def settled(due: DueCheck) -> str:
    """A check that came out well, in a few words: what it came to, and who found it."""
    return " ".join(
        x for x in (f"{translated(due.check.name)}:", result(due), *(f"({by})" for by in found_by(due))) if x
    )


def _differing(due: DueCheck) -> list[str]:
    """What was seen, where that is more than that all is well."""
    words = due.result.words if due.result is not None else ""
    return [translated(words)] if words and words.casefold() != AS_IT_HAS_TO_BE.casefold() else []


def deviation_row(x: Deviation, act: Callable[[], None], judges: Sequence[str] = ()) -> RowSpec:
    """A deviation: how grave, what happened, and why it may stay, once somebody has said so; before that, who may, where nobody here does."""
    state = tr("to be judged") if x.blocks else translated(x.grade)
    closed = tr("May stay so: {why} {who}", why=x.closed, who=x.closed_by).strip() if x.closed else ""
    if x.blocks:
        # Whatever was said while it was made decides nothing; where somebody here may, its press asks who.
        closed = "" if judges else tr("A releaser judges it.")
    said = "\n".join(part for part in (x.text, closed) if part)
    grave = x.blocks and x.grade != "minor"  # a minor one waits for its judge, and nothing is late
    mark = "good" if x.closed else "open" if grave else "soon" if x.blocks else "later"
    return RowSpec(_deviation_named(x), act, said, state, grave, mark, calm=True)


def _deviation_named(x: Deviation) -> str:
    name = tr("Deviation {number}", number=x.number)
    return name if x.closed or x.grade == "note" else f"{name}, {translated(x.grade)}"
