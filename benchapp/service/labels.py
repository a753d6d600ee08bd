"""The label approved for a procedure, a batch held against it, and which labels may be printed."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.record.approved_label import approved_label
from benchapp.record.errors import DocumentRefused, no_batch
from benchapp.record.workshop import Workshop
from benchapp.service.errors import CommandError
from benchapp.service.market import law_in
from benchapp.service.matter import Matter
from benchapp.service.signing import Pin, signed_if_enrolled

if TYPE_CHECKING:
    from benchapp.record.facts import ProcedureFacts
    from benchapp.record.label import Label
    from procedures.model import Procedure


@dataclass(frozen=True, slots=True)
class PrintOrder:
    """Labels to be printed: of which batch, its code and day, what they say, by which approval, for which containers."""

    batch: str
    code: str
    made: date
    label: Label
    approved: str
    numbers: range


class Labels(Matter):
    """Labels of procedures, and of the containers of batches."""

    def approve(self, procedure: Procedure, label: Label, by: str, pin: Pin) -> str:
        """Approve a filled-in label, by a releaser. Raises CommandError where it does not say what is made."""
        from benchapp.make.law import LOST_PERCENT
        from benchapp.record.documents.label_pdf import all_drawn
        from benchapp.record.label import differences
        from benchapp.service.procedure_facts import procedure_facts

        try:
            all_drawn(label)
        except DocumentRefused as error:
            raise CommandError(str(error)) from error
        facts = procedure_facts(procedure)
        grams = {key: x.percent for key, x in facts.lines.items() if x.percent}
        against = differences(label, facts, grams, LOST_PERCENT, law_in(self.journal.path.parent))
        if against:
            raise CommandError("\n".join((tr("This label does not say what the procedure makes:"), *against)))
        who = signed_if_enrolled(self.journal, by, pin, "releaser")
        self.records.add(ev.LabelApproved(at_s=0.0, procedure=facts.key, text=label.to_text(), by=who))
        return tr(
            "The label of {key} is approved by {who}. Check your own market's current law.",
            key=facts.key,
            who=who,
        )

    def against_label(self, batch: str) -> tuple[str, ...]:
        """Why a batch is not what its approved label says. Raises CommandError where no label is approved."""
        self._approved(self.journal.batch(batch).procedure)
        return label_reasons(self.records, batch)

    def printable(self, batch: str, containers: tuple[int, int] | None) -> PrintOrder:
        """The labels of these containers, or of all that were filled. Raises CommandError where none may be printed."""
        from benchapp.service.procedure_facts import record_in

        record = record_in(self.journal, batch)
        if record.rehearsal:
            raise CommandError(tr("A rehearsal makes no product: there is nothing to label."))
        if record.version == ev.TRIAL:
            raise CommandError(
                tr(
                    "Batch {batch} is a trial: nobody had approved the version it was made by, and it "
                    "does not leave.",
                    batch=batch,
                )
            )
        if record.outcome != "finished":
            raise CommandError(
                tr(
                    "Batch {batch} is {outcome}; labels are printed once it is finished.",
                    batch=batch,
                    outcome=record.outcome,
                )
            )
        filled = len(record.containers)
        first, last = containers or (1, filled)
        if not 1 <= first <= last <= filled and containers is not None:
            raise CommandError(
                tr(
                    "Containers 1 to {filled} were filled; {first} to {last} is not among them.",
                    filled=filled,
                    first=first,
                    last=last,
                )
            )
        label, approved = self._approved(record.procedure)
        made = datetime.fromisoformat(record.ended).date()
        return PrintOrder(batch, record.code, made, label, approved, range(first, last + 1))

    def printed(self, order: PrintOrder, by: str) -> str:
        """Write down that they were printed."""
        pieces = len(order.numbers)
        self.records.add_to(
            order.batch, ev.LabelsPrinted(at_s=0.0, pieces=pieces, approved=order.approved, by=by)
        )
        return tr(
            "{pieces} labels for {batch}. Spoiled ones are kept with the record.",
            pieces=pieces,
            batch=order.batch,
        )

    def _approved(self, procedure: str) -> tuple[Label, str]:
        found = approved_label(self.journal, procedure)
        if found is None:
            raise CommandError(
                tr(
                    "No label is approved for {procedure}. Begin with: benchapp approve-label {procedure}.",
                    procedure=procedure,
                )
            )
        return found


def draft_of(procedure: Procedure) -> tuple[str, tuple[str, ...]]:
    """The draft of a procedure's label as text, and what has to be looked at before it is approved."""
    from benchapp.record.label import FORM, label_of
    from benchapp.service.procedure_facts import procedure_facts

    draft, doubts = label_of(procedure_facts(procedure))
    text = json.dumps({"form": FORM, **asdict(draft)}, indent=2, ensure_ascii=False) + "\n"
    return text, tuple(doubts)


def label_reasons(shop: Workshop, batch: str) -> tuple[str, ...]:
    """Why a batch is not what its approved label says, or what the law allows, label or not: each one blocks its
    release."""
    from benchapp.make.law import LOST_PERCENT
    from benchapp.record.label import differences, over_ceilings
    from benchapp.service.procedure_facts import record_in

    record = record_in(shop.journal, batch)
    lost = max(record.lost_percent, LOST_PERCENT)
    facts, law = _facts(shop, batch), law_in(shop.journal.path.parent)
    found = approved_label(shop.journal, record.procedure)
    if found is None:
        return over_ceilings(facts, record.added, lost, law)
    return differences(found[0], facts, record.added, lost, law)


def unknown_to_law_of(shop: Workshop, batch: str) -> tuple[str, str]:
    """What no ceiling is known for in a batch, and that the market's current law decides: by name, and in short."""
    from benchapp.record.label import unknown_to_law
    from benchapp.service.procedure_facts import record_in

    grams = record_in(shop.journal, batch).added
    return unknown_to_law(_facts(shop, batch), grams, law_in(shop.journal.path.parent))


def _facts(shop: Workshop, batch: str) -> ProcedureFacts:
    from benchapp.service.procedure_facts import facts_in

    first = shop.journal.at(batch, 1)
    if first is None:
        raise no_batch(batch)
    return facts_in(first.event)
