"""The workshop's desk behind the glass: batches, checks, lots, traces and trends, in the plain words its pages show."""

from __future__ import annotations

from datetime import datetime

from benchapp import events as ev
from benchapp.calculations.control_chart import individuals_chart, signals
from benchapp.record.comparison import compare
from benchapp.record.errors import NotAllowed
from benchapp.record.journal import Journal
from benchapp.record.release import why_not
from benchapp.record.tracing import back, forward, ranges
from benchapp.record.workshop import Workshop
from benchapp.service.desk_facts import BatchFacts, CheckFacts, Delivery, Trend, Undecided
from benchapp.service.labelling import label_reasons
from benchapp.service.procedure_facts import record_in
from benchapp.service.specification import release_specification
from benchapp.service.training import TrainingDesk, said_of
from benchapp.service.wording import amount


class Desk(TrainingDesk):
    """One journal, asked as the pages ask."""

    def __init__(self, journal: Journal) -> None:
        self._shop = Workshop(journal, release_specification)
        super().__init__(self._shop)

    def undecided(self) -> tuple[Undecided, ...]:
        """Finished batches nobody has decided about, each with its open checks."""
        due = self._shop.due()
        return tuple(
            Undecided(
                b.batch,
                tuple(_check(c.check.name, c.check.expect, c.check.low, c.check.high, c.state, c.due) for c in due if c.batch == b.batch),
            )
            for b in self._shop.journal.waiting()
            if not b.rehearsal
        )  # fmt: skip

    def due_lines(self) -> tuple[str, ...]:
        """Release checks that are due, a sentence each."""
        return tuple(
            f"Due: {check.name}, of {one.batch}."
            for one in self.undecided()
            for check in one.checks
            if check.state == "due"
        )

    def batch(self, batch: str) -> BatchFacts:
        """How one batch stands, and what speaks against letting it go."""
        standing = self._shop.standing(batch)
        line = self._shop.journal.batch(batch)
        checks = self._shop.checks(batch)
        releasers = self._shop.people().with_role("releaser")
        against = why_not(
            "released",
            releasers[0] if releasers else None,
            standing,
            checks,
            label_reasons(self._shop, batch),
        )
        return BatchFacts(
            batch, line.procedure, line.batch_g, line.end, line.decision, line.rehearsal, line.containers,
            tuple(_check(c.check.name, c.check.expect, c.check.low, c.check.high, c.state, c.due) for c in checks),
            tuple(f"{d.number}, {d.grade}, {'closed' if d.closed else 'open'}: {d.text}" for d in standing.deviations),
            against, tuple(p.who for p in releasers),
            said_of(self._shop.journal, batch) if line.rehearsal else "",
        )  # fmt: skip

    def record_check(
        self, batch: str, check: str, value: float | None, words: str, fine: bool | None, by: str, pin: str
    ) -> str:
        """Write a result down, signed; the sentence that says how it came out."""
        proof = self._shop.prove(by, pin)
        if isinstance(proof, str):
            return proof
        try:
            passed = self._shop.record_check(batch, check, value, words, fine, proof.who)
        except NotAllowed as error:
            return str(error)
        return f"{check}: {'passed' if passed else 'failed. Decide about the batch, or find out why first.'}"

    def decide(self, batch: str, decision: str, reason: str, by: str, pin: str) -> str:
        """Release, rework or reject, signed; the sentence that says what was written."""
        proof = self._shop.prove(by, pin)
        if isinstance(proof, str):
            return proof
        try:
            notes = self._shop.decide(batch, decision, reason, proof, label_reasons(self._shop, batch))
        except NotAllowed as error:
            return str(error)
        return f"{batch} is {decision}.{''.join(f' Noted: {n}.' for n in notes)}"

    def people(self) -> tuple[str, ...]:
        """Who may sign here."""
        return tuple(p.who for p in self._shop.people().signing())

    def prove(self, who: str, pin: str) -> tuple[str, str]:
        """The role in which a person signs, and "" or the sentence why it is not them."""
        proof = self._shop.prove(who, pin)
        if isinstance(proof, str):
            return "", proof
        return "maker" if "maker" in proof.roles else proof.roles[0], ""

    def lots(self) -> tuple[tuple[str, str], ...]:
        """Every lot with something in it: its name, and a line about it."""
        book = self._shop.lots()
        today = datetime.now().astimezone().date().isoformat()
        lots = sorted(
            (x for x in book.lots.values() if x.left > 0), key=lambda x: (x.name.casefold(), x.received)
        )
        return tuple(
            (
                x.lot,
                f"{x.name}, lot {x.lot}: {amount(x.left, x.unit)}. {book.usable(x.lot, today) or _keeps(x.expires)}",
            )
            for x in lots
        )

    def receive(self, d: Delivery, by: str, pin: str) -> str:
        """A delivery onto the books, signed where people are enrolled; the sentence that says how it went."""
        if self._shop.people().signing():
            proof = self._shop.prove(by, pin)
            if isinstance(proof, str):
                return proof
            by = proof.who
        lot = ev.LotReceived(
            at_s=0.0, lot=d.lot, material=d.material, name=d.name, supplier=d.supplier, supplier_lot=d.supplier_lot,
            quantity=d.mass_g, unit="g", received=self._shop.journal.wall()[:10], expires=d.expires, by=by,
        )  # fmt: skip
        try:
            self._shop.receive(lot)
        except NotAllowed as error:
            return str(error)
        unknown = (
            "" if d.expires else " No expiry date is known for it; the container or the certificate has one."
        )
        return f"Lot {d.lot}: {amount(d.mass_g, 'g')} of {d.name} received.{unknown}"

    def trace_lot(self, lot: str) -> tuple[str, ...]:
        """Where a lot went."""
        found = forward(self._shop.journal, lot)
        out = [
            f"{found.lot.name} from {found.lot.supplier}, their lot {found.lot.supplier_lot or 'not written down'}."
        ]
        for r in found.reached:
            used = ", ".join(f"{amount(u.used, u.unit)} as {u.line}" for u in r.uses)
            out.append(f"{r.batch.batch}: {used}. {r.batch.decision or r.batch.end or 'unfinished'}.")
            out += [f"   {ranges(range(s.first, s.last + 1))} to {s.to}, {s.on}" for s in r.sent]
            out += [f"   still here: {ranges(r.here)}"] if r.here else []
        out += [f"By way of {m.name}, lot {m.lot}." for m in found.made]
        return tuple(out if found.reached else [*out, "It is in no batch yet."])

    def trace_batch(self, batch: str) -> tuple[str, ...]:
        """What a batch was made of."""
        if self._shop.journal.batch(batch).rehearsal:
            return (
                "A rehearsal draws from no lot of the store; its lots are made up, and nothing of it leaves.",
            )
        found = back(self._shop.journal, batch)
        out = [
            f"{i.lot.name if i.lot else i.use.material}: {amount(i.use.used, i.use.unit)} of "
            f"{f'lot {i.use.lot}, {i.lot.supplier} {i.lot.supplier_lot}'.strip() if i.lot else 'no lot'}"
            for i in found.inputs
        ]
        out += [f"{ranges(range(s.first, s.last + 1))} to {s.to}, {s.on}" for s in found.sent]
        return tuple(out or ["No lots were written down for it."])

    def compare(self, first: str, second: str) -> tuple[str, ...]:
        """Two batches side by side."""
        pairs = compare(record_in(self._shop.journal, first), record_in(self._shop.journal, second))
        return tuple(f"{p.what}: {_said(p.first)} and {_said(p.second)} {p.unit}".rstrip() for p in pairs)

    def trend(self, procedure: str) -> Trend | None:
        """The yields of a procedure's finished batches on a control chart; None where there are too few."""
        found = [
            b
            for b in self._shop.journal.batches(200, procedure)
            if b.product_g is not None and not b.rehearsal
        ]
        values = tuple(100 * (b.product_g or 0.0) / b.batch_g for b in reversed(found))
        if len(values) < 3:
            return None
        chart = individuals_chart(values)
        said = tuple(f"{list(reversed(found))[s.index].batch}: {s.meaning}" for s in signals(values, chart))
        return Trend("yield", "%", values, chart.centre, chart.lower, chart.upper, chart.provisional, said)


def _check(name: str, expect: str, low: float | None, high: float | None, state: str, due: str) -> CheckFacts:
    return CheckFacts(name, expect, low, high, state, due[:16].replace("T", " "))


def _keeps(expires: str) -> str:
    return f"Use by {expires}." if expires else ""


def _said(value: float | None) -> str:
    return "–" if value is None else f"{value:.4g}"
