"""Calibration and cleaning with their log, and complaints about batches that have left."""

from __future__ import annotations

from dataclasses import replace

from benchapp import events as ev
from benchapp.record.aftercare import CARE, COMPLAINTS, TASKS, Care, Complaint, care_in, complaints_in
from benchapp.service.errors import CommandError
from benchapp.service.matter import Matter, Sheet
from benchapp.service.signing import Pin, signed_if_enrolled

#: What a serious undesirable effect obliges to (Regulation (EC) 1223/2009, art. 23, from memory).
SERIOUS = (
    "A serious undesirable effect has to be notified to the competent authority of the country where it occurred, "
    "without delay (Regulation (EC) 1223/2009, art. 23)."
)


class Aftercare(Matter):
    """What an inspector asks for beyond the batch."""

    # --- equipment -----------------------------------------------------------------------------------

    def care(self) -> tuple[Care, ...]:
        """Everything that is calibrated or cleaned, by equipment."""
        return care_in(self.journal.of_kinds(CARE))

    def care_sheet(self, equipment: str = "") -> Sheet:
        """What is due when, and the log, of one piece of equipment or of all."""
        found = [c for c in self.care() if equipment.casefold() in ("", c.equipment.casefold())]
        if not found:
            return Sheet(
                ("Nothing is planned. Begin with: benchapp care plan EQUIPMENT calibration --every DAYS.",)
            )
        today = self.today()
        rows = [(c.equipment, c.task, _when(c, today), *_words(c.log[-1] if c.log else None)) for c in found]
        log = [(c, done) for c in found for done in c.log]
        notes = tuple(
            f"{done.on} {c.equipment}, {c.task}: {'' if done.passed else 'not fit for use: '}{done.words} ({done.by})"
            for c, done in sorted(log, key=lambda pair: pair[1].on)
        )
        return Sheet((), ("equipment", "task", "due", "last", "found", "by"), tuple(rows), notes)

    def care_lines(self) -> tuple[str, ...]:
        """What is due, a sentence each."""
        today = self.today()
        return tuple(
            f"Due: {c.task} of {c.equipment}, since {c.due}." for c in self.care() if c.is_due(today)
        )

    def plan_care(self, equipment: str, task: str, every_days: int, by: str, pin: Pin) -> str:
        """From now on so often."""
        if not equipment.strip() or task not in TASKS or every_days < 0:
            raise CommandError(
                f"Name the equipment, one of {' or '.join(TASKS)}, and how many days: 0 for no more."
            )
        who = signed_if_enrolled(self.journal, by, pin)
        self.records.add(
            ev.CarePlanned(at_s=0.0, equipment=equipment.strip(), task=task, every_days=every_days, by=who)
        )
        return (
            f"{equipment}: {task} every {every_days} days." if every_days else f"{equipment}: no more {task}."
        )

    def care_done(self, done: ev.CareDone, pin: Pin) -> str:
        """Written into the log, signed; when it is due next."""
        if not done.equipment.strip() or done.task not in TASKS or not done.words.strip():
            raise CommandError("Name the equipment, what was done, and what was found: --found WORDS.")
        if (done.on or self.today()) > self.today():
            raise CommandError(f"{done.on} is still to come.")
        who = signed_if_enrolled(self.journal, done.by, pin)
        written = replace(done, equipment=done.equipment.strip(), on=done.on or self.today(), by=who)
        self.records.add(written)
        due = next(c for c in self.care() if (c.equipment, c.task) == (written.equipment, written.task)).due
        if not written.passed:
            return f"{written.equipment} is not fit for use; it stays due until its {written.task} passes."
        return f"{written.equipment}: {written.task} written down{f', due again on {due}' if due else ''}."

    # --- complaints ----------------------------------------------------------------------------------

    def complaints(self, batch: str | None = None) -> tuple[Complaint, ...]:
        """Of one batch, or all."""
        return complaints_in(self.journal.of_kinds(COMPLAINTS, batch))

    def complaint_sheet(self, batch: str = "") -> Sheet:
        """Complaints and undesirable effects by batch, with what was found and done."""
        name = self.journal.named(batch).batch if batch else None
        found = sorted(self.complaints(name), key=lambda c: (c.batch, c.received.number))
        if not found:
            return Sheet((f"No complaint about {name or 'any batch'} is written down.",))
        rows = tuple(
            (c.batch, str(c.received.number), c.received.on, c.weight, str(c.received.container or "–"), c.received.words,
             c.received.sender, f"{c.answer.found}; {c.answer.done} ({c.answer.by})" if c.answer else "not answered")
            for c in found
        )  # fmt: skip
        return Sheet((), ("batch", "no.", "on", "what", "container", "words", "from", "answer"), rows)

    def complaint_lines(self) -> tuple[str, ...]:
        """Complaints that nobody has answered, the serious ones first, a sentence each."""
        still = sorted(
            (c for c in self.complaints() if c.answer is None), key=lambda c: not c.received.serious
        )
        return tuple(
            f"Not answered: {c.weight} {c.received.number} of {c.batch}, {c.received.on}." for c in still
        )

    def complain(self, batch: str, said: ev.ComplaintReceived, pin: Pin) -> str:
        """Write a complaint into its batch, by the batch's name or the code on a container."""
        line = self.journal.named(batch)
        if line.rehearsal:
            raise CommandError(f"{line.batch} is a rehearsal: nothing of it can have left.")
        if not said.words.strip():
            raise CommandError("Write down what was said.")
        if not 0 <= said.container <= line.containers:
            raise CommandError(
                f"{line.batch} has containers 1 to {line.containers}; leave the number out if nobody knows."
            )
        who = signed_if_enrolled(self.journal, said.by, pin)
        number = len(self.complaints(line.batch)) + 1
        effect = said.effect or said.serious
        self.records.add_to(
            line.batch, replace(said, number=number, effect=effect, on=said.on or self.today(), by=who)
        )
        return f"Complaint {number} stands in {line.batch}.{f' {SERIOUS}' if said.serious else ''}"

    def answer_complaint(self, batch: str, answer: ev.ComplaintAnswered, pin: Pin) -> str:
        """Write down what was found out and done."""
        line = self.journal.named(batch)
        if answer.number not in {c.received.number for c in self.complaints(line.batch)}:
            raise CommandError(
                f"{line.batch} has no complaint {answer.number}. benchapp complaint list shows them."
            )
        if not answer.found.strip() or not answer.done.strip():
            raise CommandError("Write down what was found out and what was done.")
        who = signed_if_enrolled(self.journal, answer.by, pin, "maker", "releaser")
        self.records.add_to(line.batch, replace(answer, by=who))
        return f"Complaint {answer.number} of {line.batch} is answered."


def _when(care: Care, today: str) -> str:
    if not care.due:
        return "not planned"
    return f"{care.due}, due" if care.is_due(today) else care.due


def _words(done: ev.CareDone | None) -> tuple[str, str, str]:
    if done is None:
        return "never", "", ""
    return done.on, done.words if done.passed else f"not fit for use: {done.words}", done.by
