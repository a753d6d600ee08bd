"""Calibration and cleaning with their log, and complaints about batches that have left."""

from __future__ import annotations

from dataclasses import replace

from benchapp import events as ev
from benchapp.foundation.days import day_of
from benchapp.foundation.language import Name, tr, tr_noop, translated
from benchapp.record.aftercare import (
    CARE,
    COMPLAINTS,
    MOST_DAYS,
    TASKS,
    Care,
    Complaint,
    care_in,
    complaints_in,
)
from benchapp.record.bench_identity import numbered, own_short
from benchapp.record.errors import NotAllowed
from benchapp.record.leaving import require_container
from benchapp.service.errors import CommandError
from benchapp.service.matter import Matter, Sheet
from benchapp.service.signing import Pin, signed_if_enrolled

#: What a serious undesirable effect obliges to (Regulation (EC) 1223/2009, art. 23, from memory).
SERIOUS = tr_noop(
    "A serious undesirable effect has to be notified to the competent authority of the "
    "country where it occurred, without delay (Regulation (EC) 1223/2009, art. 23)."
)


class Aftercare(Matter):
    """What an inspector asks for beyond the batch."""

    # --- equipment -----------------------------------------------------------------------------------

    def care(self) -> tuple[Care, ...]:
        """Everything that is calibrated or cleaned, by equipment."""
        return care_in(self.journal.own.of_kinds(CARE, ev.WORKSHOP))

    def care_sheet(self, equipment: str = "") -> Sheet:
        """What is due when, and the log, of one piece of equipment or of all."""
        found = [c for c in self.care() if equipment.casefold() in ("", c.equipment.casefold())]
        if not found:
            return Sheet(
                (
                    tr(
                        "Nothing is planned. Begin with: benchapp care plan EQUIPMENT calibration --every "
                        "DAYS."
                    ),
                )
            )
        today = self.journal.today()
        rows = [(c.equipment, c.task, _when(c, today), *_words(c.log[-1] if c.log else None)) for c in found]
        log = [(c, done) for c in found for done in c.log]
        notes = tuple(
            tr(
                "{on} {equipment}, {task}: {how}{words} ({by})",
                on=_on(done),
                equipment=c.equipment,
                task=c.task,
                how="" if done.passed else tr("not fit for use: "),
                words=done.words,
                by=done.by,
            )
            for c, done in sorted(log, key=lambda pair: pair[1].on)
        )
        return Sheet((), ("equipment", "task", "due", tr("last"), "found", "by"), tuple(rows), notes)

    def plan_care(self, equipment: str, task: str, every_days: int, by: str, pin: Pin) -> str:
        """From now on so often."""
        if not equipment.strip() or task not in TASKS or not 0 <= every_days <= MOST_DAYS:
            raise CommandError(
                tr(
                    "Name the equipment, one of {names}, and how many days: 0 for no more.",
                    names=" or ".join(TASKS),
                )
            )
        who = signed_if_enrolled(self.journal, by, pin)
        self.records.add(
            ev.CarePlanned(at_s=0.0, equipment=equipment.strip(), task=task, every_days=every_days, by=who)
        )
        return (
            tr(
                "{equipment}: {task} every {every_days} days.",
                equipment=equipment,
                task=task,
                every_days=every_days,
            )
            if every_days
            else tr("{equipment}: no more {task}.", equipment=equipment, task=task)
        )

    def care_done(self, done: ev.CareDone, pin: Pin) -> str:
        """Written into the log, signed; when it is due next."""
        if not done.equipment.strip() or done.task not in TASKS or not done.words.strip():
            raise CommandError(tr("Name the equipment, what was done, and what was found: --found WORDS."))
        on = self.day_gone_by(done.on)
        who = signed_if_enrolled(self.journal, done.by, pin)
        written = replace(done, equipment=done.equipment.strip(), on=on, by=who)
        self.records.add(written)
        due = next(c for c in self.care() if (c.equipment, c.task) == (written.equipment, written.task)).due
        if not written.passed:
            return tr(
                "{equipment} is not fit for use; it stays due until its {task} passes.",
                equipment=written.equipment,
                task=written.task,
            )
        return tr(
            "{equipment}: {task} written down{how}.",
            equipment=written.equipment,
            task=written.task,
            how=tr(", due again on {due}", due=due) if due else "",
        )

    # --- complaints ----------------------------------------------------------------------------------

    def complaints(self, batch: str | None = None) -> tuple[Complaint, ...]:
        """Of one batch, or all."""
        return complaints_in(self.journal.of_kinds(COMPLAINTS, batch))

    def complaint_sheet(self, batch: str = "") -> Sheet:
        """Complaints and undesirable effects by batch, with what was found and done."""
        name = self.journal.named(batch).batch if batch else None
        found = sorted(self.complaints(name), key=lambda c: (c.batch, c.received.bench, c.received.number))
        if not found:
            return Sheet((tr("No complaint about {name} is written down.", name=name or tr("any batch")),))
        rows = tuple((c.batch, c.name, c.received.on, _what(c), _said(c), _answered(c)) for c in found)
        return Sheet((), ("batch", tr("no."), "date", "what", "words", tr("answer")), rows)

    def complain(self, batch: str, said: ev.ComplaintReceived, pin: Pin) -> str:
        """Write a complaint into its batch, by the batch's name or the code on a container."""
        line = self.journal.named(batch)
        if line.rehearsal:
            raise CommandError(tr("{batch} is a rehearsal: nothing of it can have left.", batch=line.batch))
        if not line.end:
            raise CommandError(tr("Batch {batch} is not finished.", batch=line.batch))
        if not said.words.strip():
            raise CommandError(tr("Write down what was said."))
        try:
            require_container(line, said.container)
        except NotAllowed as error:
            raise CommandError(str(error)) from error
        on = self.day_gone_by(said.on)
        who = signed_if_enrolled(self.journal, said.by, pin)
        bench = own_short(self.journal)
        given = (c.received.number for c in self.complaints(line.batch) if c.received.bench == bench)
        written = replace(
            said, number=max(given, default=0) + 1, bench=bench, effect=said.effect or said.serious,
            on=on, by=who,
        )  # fmt: skip
        self.records.add_to(line.batch, written)
        return tr(
            "Complaint {number} stands in {batch}.{how}",
            number=numbered(bench, written.number),
            batch=line.batch,
            how=tr(" {serious}", serious=SERIOUS) if said.serious else "",
        )

    def answer_complaint(self, batch: str, answer: ev.ComplaintAnswered, pin: Pin) -> str:
        """Write down what was found out and done."""
        line = self.journal.named(batch)
        name = numbered(answer.bench, answer.number)
        if name not in {c.name for c in self.complaints(line.batch)}:
            raise CommandError(
                tr(
                    "{batch} has no complaint {number}. benchapp complaint list shows them.",
                    batch=line.batch,
                    number=name,
                )
            )
        if not answer.found.strip() or not answer.done.strip():
            raise CommandError(tr("Write down what was found out and what was done."))
        who = signed_if_enrolled(self.journal, answer.by, pin, "maker", "releaser")
        self.records.add_to(line.batch, replace(answer, by=who))
        return tr("Complaint {number} of {batch} is answered.", number=name, batch=line.batch)


def _what(of: Complaint) -> str:
    """How grave it is, and of which container."""
    weight, number = translated(of.weight), of.received.container
    return tr("{weight}, container {number}", weight=weight, number=number) if number else weight


def _said(of: Complaint) -> str:
    """What was said, and who can be asked again."""
    said, sender = of.received.words, of.received.sender
    return Name(f"{said} ({sender})" if sender else said)


def _answered(of: Complaint) -> str:
    if of.answer is None:
        return tr("not answered")
    return Name(f"{of.answer.found.rstrip('.')}; {of.answer.done.rstrip('.')} ({of.answer.by})")


def _when(care: Care, today: str) -> str:
    if not care.due:
        return tr("not planned")
    return tr("{due}, due", due=care.due) if care.is_due(today) else care.due


def _on(done: ev.CareDone) -> str:
    """The day, and what to do where nobody can read it."""
    return done.on if day_of(done.on) else tr("{on} (no date: write it down again)", on=done.on)


def _words(done: ev.CareDone | None) -> tuple[str, str, str]:
    if done is None:
        return tr("never"), "", ""
    return _on(done), done.words if done.passed else tr("not fit for use: {words}", words=done.words), done.by
