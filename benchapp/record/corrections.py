"""What a correction makes of an earlier event: the same event with one field as it should have been."""

from __future__ import annotations

import dataclasses
import math
import re
import typing
from collections.abc import Iterable, Sequence

from benchapp import events as ev
from benchapp.foundation.days import day_of
from benchapp.foundation.language import tr
from benchapp.record.correction_words import offered, word_of
from benchapp.record.lots import STATES, pieces_problem
from benchapp.record.stored_event import StoredEvent

#: What nobody read off or said: the program set or worked it out, or counted it. What it follows from is corrected instead.
_BY_THE_PROGRAM = frozenset({
    "at_s", "step", "act", "target_g", "low_g", "high_g", "batch_g", "product_g", "yield_percent", "number", "portion",
    "portions", "unit", "bench", "approved",
})  # fmt: skip
#: Texts that may be nothing: nobody need know it, or say it.
_MAY_BE_EMPTY = frozenset({
    "expires", "opened", "supplier", "supplier_lot", "code", "made_in", "sender", "note", "device", "reason", "why", "how", "of",
    "pouring", "probe", "words", "dilution",
})  # fmt: skip
#: Amounts. A difference, a scale's zero and what crept have a sign.
_AT_LEAST_0 = frozenset({
    "net_g", "gross_g", "mass_g", "lost_g", "removed_g", "left_g", "water_g", "solution_g", "diluted_g",
    "pieces", "spoiled", "quantity",
})  # fmt: skip
#: How a number is typed that was read off something; Python reads 1_0 and 1e300 too.
_PLAIN = re.compile(r"[+-]?[0-9]{1,9}(\.[0-9]{1,9})?")
#: Days as ISO 8601, and which of them nobody may know.
_DAYS, _UNKNOWN_DAYS = (
    frozenset({"received", "expires", "opened", "on", "until"}),
    frozenset({"expires", "opened"}),
)


def corrected(event: ev.Event, field: str, new: str) -> ev.Event:
    """The event with ``field`` set to what ``new`` says. Raises ValueError with one sentence when that field is
    not there or can not be corrected so."""
    hints = typing.get_type_hints(type(event))
    if field not in hints or field == "at_s":
        said = (n for n, hint in hints.items() if hint in (str, int, float) and n not in _BY_THE_PROGRAM)
        known = ", ".join(offered(said)) or tr("nothing")
        raise ValueError(
            tr("There is no {field} in it that can be corrected; there is {known}.", field=field, known=known)
        )
    value: str | int | float
    if hints[field] is str:
        value = new
    elif hints[field] in (int, float):
        value = _number(new, hints[field], field)
    else:
        raise ValueError(
            tr("Its {field} is no plain text or number and cannot be corrected.", field=word_of(field))
        )
    changes: dict[str, typing.Any] = {field: value}
    return dataclasses.replace(event, **changes)


def _number(text: str, kind: type, field: str) -> int | float:
    try:
        value = int(text) if kind is int else float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise ValueError(tr("{field} is a number; {text!r} is none.", field=word_of(field), text=text))
    return value


def require_possible(event: ev.Event, field: str, new: str) -> None:
    """Raise ValueError with one sentence where the event cannot be corrected so, or nothing can ever have been that."""
    now = corrected(event, field, new)
    if field in _BY_THE_PROGRAM:
        raise ValueError(
            tr("Nobody read or said {field}: correct what it follows from.", field=word_of(field))
        )
    value = getattr(now, field)
    if field == "by":
        raise ValueError(tr("Who signed it stays as it was written."))
    if isinstance(value, str) and not value.strip() and field not in _MAY_BE_EMPTY | _DAYS:
        raise ValueError(tr("{field} cannot be nothing.", field=word_of(field)))
    if isinstance(value, int | float) and not _PLAIN.fullmatch(new.strip()):
        raise ValueError(tr("{field} is a number; {text!r} is none.", field=word_of(field), text=new[:40]))
    if isinstance(now, ev.PhTaken) and field == "ph" and not 0.0 <= value <= 14.0:
        raise ValueError(tr("A pH lies between 0 and 14."))
    measure = isinstance(now, ev.NumberTaken) and field == "value" and now.unit != "°C"
    if (field in _AT_LEAST_0 or measure) and value < 0:
        raise ValueError(tr("{field} cannot be less than 0.", field=word_of(field)))
    if field in _DAYS and day_of(value) is None and not (value == "" and field in _UNKNOWN_DAYS):
        raise ValueError(tr("{text!r} is no date. Write 2025-05-14.", text=value[:40]))
    if isinstance(now, ev.LotReceived) and field == "state" and value not in STATES:
        raise ValueError(tr("A lot is judged one of {names}.", names=", ".join(STATES)))
    if isinstance(now, ev.PiecesUsed) and (problem := pieces_problem(now)):
        raise ValueError(problem)


def as_it_stands(event: ev.Event, corrections: Iterable[ev.Corrected]) -> ev.Event:
    """The event after all its corrections, in order; one that cannot be applied leaves the event as it was."""
    for one in corrections:
        if may_correct(event, one):
            event = corrected(event, one.field, one.new)
    return event


def standing_in(stored: Sequence[StoredEvent]) -> dict[int, StoredEvent]:
    """By its number each event of a batch that was corrected, as it stands: the one fold whoever reads a value asks."""
    fixes: dict[int, list[ev.Corrected]] = {}
    for s in stored:
        if isinstance(e := s.event, ev.Corrected):
            fixes.setdefault(e.n, []).append(e)
    return {s.n: s._replace(event=as_it_stands(s.event, fixes[s.n])) for s in stored if s.n in fixes}


def as_they_stand(stored: Sequence[StoredEvent]) -> list[StoredEvent]:
    """Events of any batches in their order, each as it stands after the corrections among them. Every bench numbers what it
    writes about a batch: a correction is of the event that had what it says it was."""
    fixes: dict[tuple[str, int], list[ev.Corrected]] = {}
    for s in stored:
        if isinstance(e := s.event, ev.Corrected):
            fixes.setdefault((s.batch, e.n), []).append(e)
    return [s._replace(event=_corrected_in_turn(s.event, fixes.get((s.batch, s.n), ()))) for s in stored]


def _corrected_in_turn(event: ev.Event, corrections: Iterable[ev.Corrected]) -> ev.Event:
    for one in corrections:
        if str(getattr(event, one.field, None)) == one.old and may_correct(event, one):
            event = corrected(event, one.field, one.new)
    return event


def may_correct(event: ev.Event, correction: ev.Corrected) -> bool:
    """Whether the correction fits the event it names."""
    try:
        corrected(event, correction.field, correction.new)
    except ValueError:
        return False
    return True
