"""Batches looked back on: the record of one, two side by side, the yields of many on a control chart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchapp.foundation.language import number, tr, tr_noop, translated
from benchapp.service.desk_facts import Beside, Trend
from benchapp.service.matter import Matter, Sheet

if TYPE_CHECKING:
    from benchapp.record.batch_record import Record
    from benchapp.record.comparison import Pair

#: A chart of fewer batches says nothing.
CHART_LEAST = 3
#: A chart is of so many of the newest: what was years ago says nothing of the process as it is, and a chart does not grow for ever.
CHART_MOST = 200


class Batches(Matter):
    """What was made."""

    def record(self, name: str) -> Record:
        """The record of a batch, by its name or the code on its containers. Raises NoSuchBatch."""
        from benchapp.service.procedure_facts import record_in

        return record_in(self.journal, self.journal.named(name).batch)

    def procedure_text(self, name: str) -> str:
        """The procedure a batch was made by, as it stood then. Raises NoSuchBatch."""
        first = self.journal.stored(self.journal.named(name).batch)[0].event
        return str(getattr(first, "procedure_text", ""))

    def comparison(self, first: str, second: str) -> Sheet:
        """Two batches side by side: what, the one, the other, the difference. Raises NoSuchBatch."""
        found = self.beside(first, second)
        head = (
            ()
            if found.same_procedure
            else (tr("They were made by different procedures, or by different versions of one."),)
        )
        rows = tuple(
            (f"{translated(p.group)}: {translated(p.what)}" if p.group else p.what, _value(p, p.first), _value(p, p.second), _difference(p))
            for p in found.pairs
        )  # fmt: skip
        return Sheet(head, ("", found.first.batch, found.second.batch, "difference"), rows)

    def beside(self, first: str, second: str) -> Beside:
        """The same as facts. Raises NoSuchBatch."""
        from benchapp.record.comparison import compare

        one, other = self.record(first), self.record(second)
        return Beside(
            self.journal.batch(one.batch), self.journal.batch(other.batch),
            one.procedure_sha256 == other.procedure_sha256, compare(one, other),
        )  # fmt: skip

    def trend(self, procedure: str, rehearsals: bool = False) -> Trend | None:
        """The yields of a procedure's newest finished batches on a control chart; None where there are too few."""
        from benchapp.calculations.control_chart import finest_step, individuals_chart, signals

        lines = self.journal.finished(procedure, rehearsals, CHART_MOST)
        found = [b for b in reversed(lines) if b.product_g is not None]
        if len(found) < CHART_LEAST:
            return None
        names = tuple(b.batch for b in found)
        values = tuple(b.yield_percent or 0.0 for b in found)
        step_g = finest_step([b.product_g or 0.0 for b in found])
        chart = individuals_chart(values, 100 * step_g / min(b.whole_g for b in found))
        fired = {s.index: s for s in signals(values, chart)}
        return Trend(
            values, chart,
            tuple(f"{names[n]}: {s.meaning}" for n, s in fired.items()), names,
            tuple(f"{fired[n].rule}: {fired[n].meaning}" if n in fired else "" for n in range(len(values))),
        )  # fmt: skip


def _value(pair: Pair, value: float | None) -> str:
    if value is None:
        return "–"
    if pair.unit == "s":
        from benchapp.record.documents.plain_text import span

        return span(value)
    return f"{number(round(value, 2))} {translated(pair.unit)}".strip()


def _difference(pair: Pair) -> str:
    found = pair.difference
    if found is None:
        return ""
    sign = "−" if found < 0 else "+"
    return tr_noop("same") if round(found, 2) == 0 else sign + _value(pair, abs(found))
