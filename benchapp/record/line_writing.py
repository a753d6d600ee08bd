"""From stored events to lines of the record: names in place of keys, and corrections beside what they correct."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from typing import Any, overload

from benchapp import events as ev
from benchapp.foundation.band import Band
from benchapp.foundation.language import number, tr
from benchapp.record.batch_events import BatchEvents
from benchapp.record.declared_content import DeclaredContent
from benchapp.record.facts import ProcedureFacts
from benchapp.record.lines import Correction, RecordLine
from benchapp.record.stored_event import StoredEvent

MEASURED, STATED, COMPUTED = (str(x) for x in (ev.Source.MEASURED, ev.Source.STATED, ev.Source.COMPUTED))
#: What one event makes: a line, several, or none.
Lines = RecordLine | tuple[RecordLine, ...]


class Writer:
    """Turns stored events into lines, knowing the procedure's names and every correction of the batch."""

    def __init__(self, stored: BatchEvents, facts: ProcedureFacts) -> None:
        self.facts = facts
        self.corrections: dict[int, tuple[Correction, ...]] = {}
        for s, e in stored.each(ev.Corrected):
            found = Correction(e.field, e.old, e.new, e.reason, e.by, s.wall)
            self.corrections[e.n] = (*self.corrections.get(e.n, ()), found)
        for n, anew in stored.computed_anew.items():
            fix = self.corrections[anew.follows][-1]
            why = tr("computed anew, as event {n} was corrected", n=anew.follows)
            self.corrections[n] = (
                Correction("value", number(anew.was), number(anew.value), why, fix.by, fix.wall),
            )
        self._corrected = stored.corrected
        self.lots, self.lots_now = stored.lots, stored.standing.lots
        self.wholes = stored.counted.standing.wholes
        self.content = DeclaredContent(stored, facts)
        first = stored.first.event
        scales = first.devices if isinstance(first, ev.MakeStarted) else ()
        self._checked = {d.name for d in scales if d.checked}

    def as_it_stands(self, s: StoredEvent) -> StoredEvent:
        """That event after every correction of it."""
        return self._corrected.get(s.n, s)

    def lines(self, stored: BatchEvents, table: LineTable) -> tuple[RecordLine, ...]:
        """All lines of one table, in order: as they stand, with the value and the lot that were written at first."""
        found: list[RecordLine] = []
        for s in stored.of(*table):
            write, now = table[type(s.event)], self.as_it_stands(s)
            lines = _several(write(self, now, now.event))
            if s.n in self.corrections:
                then = _several(write(self, s, s.event))
                lines = [
                    replace(a, value=b.value, lot=b.lot, of_lines=b.of_lines)
                    for a, b in zip(lines, then, strict=False)
                ]
            found += lines
        return tuple(found)

    def line(
        self,
        s: StoredEvent,
        what: str,
        value: float | None = None,
        unit: str = "",
        source: str = "",
        **more: Any,
    ) -> RecordLine:
        """One line of one event, which says its step, its device and, unless another is given, its ``source``. The device
        counts as checked where it was before the make, unless the event says so."""
        e: Any = s.event
        device = getattr(e, "device", "")
        more.setdefault("checked", device in self._checked)
        more.setdefault("lot_now", more.get("lot", ""))
        outside = value is not None and not Band.of(more.get("low"), more.get("high")).holds(value)
        return RecordLine(
            s.wall, e.at_s, getattr(e, "step", ""), what, value, unit, source or str(e.source), n=s.n, device=device,
            corrections=self.corrections.get(s.n, ()), now=value, outside=outside, **more,
        )  # fmt: skip


#: Which kinds of event make lines, and how.
LineTable = Mapping[type[ev.Event], Callable[[Writer, StoredEvent, Any], Lines]]


def told(
    sentence: str, value: str = "", unit: str = "", source: str = "", key: str = ""
) -> Callable[[Writer, StoredEvent, Any], Lines]:
    """A line that says ``sentence`` with the event's own fields in its places, vessels, lines and steps by their names; ``value``
    is the field that holds its number, "" where it has none."""

    def write(w: Writer, s: StoredEvent, e: Any) -> Lines:
        _, given = ev.to_fields(e)
        names, line = w.facts, w.facts.line
        called = {"vessel": names.vessel, "into": names.step, "line": line, "water": line}
        said = tr(sentence, **given | {x: name(given[x]) for x, name in called.items() if x in given})
        return w.line(s, said, given.get(value), unit, source, key=key, lot=given.get("lot", ""))

    return write


def _several(lines: Lines) -> Iterable[RecordLine]:
    return (lines,) if isinstance(lines, RecordLine) else lines


class LinesOnDemand(Sequence[RecordLine]):
    """Lines that are drawn up when somebody looks at them: thousands of temperatures, which few forms of a record show."""

    def __init__(self, draw_up: Callable[[], tuple[RecordLine, ...]]) -> None:
        self._draw_up = draw_up

    @cached_property
    def _lines(self) -> tuple[RecordLine, ...]:
        return self._draw_up()

    def __len__(self) -> int:
        return len(self._lines)

    @overload
    def __getitem__(self, at: int) -> RecordLine: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[RecordLine]: ...
    def __getitem__(self, at: int | slice) -> RecordLine | Sequence[RecordLine]:
        return self._lines[at]

    def __eq__(self, other: object) -> bool:
        return isinstance(other, LinesOnDemand) and self._lines == other._lines

    __hash__ = None  # type: ignore[assignment]
