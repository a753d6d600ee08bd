"""From a finished batch to one that has left: release checks, deviations, the decision, samples, dispatch."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime

from benchapp import events as ev
from benchapp.events.grades import unchecked_device
from benchapp.foundation.language import tr, tr_noop
from benchapp.record import deciding, leaving
from benchapp.record.facts import CheckResult
from benchapp.record.release import speaks_against
from benchapp.record.tracing import gone_of
from benchapp.runtime.device_checks import checks_in
from benchapp.service.desk_facts import BatchFacts, Undecided
from benchapp.service.errors import CommandError
from benchapp.service.labels import label_reasons, unknown_to_law_of
from benchapp.service.matter import Matter, Sheet
from benchapp.service.signing import Pin, named, signed, signed_if_enrolled

#: How a reason begins with which the values of a device nobody checked are accepted.
NOT_CHECKED = tr_noop("not checked, because")
#: How a device is checked where there is no touchscreen.
HOW_TO_CHECK = "benchapp bench-check"


class Release(Matter):
    """What keeps a batch here, and what lets it go."""

    def undecided(self) -> tuple[Undecided, ...]:
        """Finished batches nobody has decided about, each with its open checks."""
        due = self.records.due()
        return tuple(
            Undecided(b.batch, b.procedure, tuple(c for c in due if c.batch == b.batch), b.wall)
            for b in self.journal.waiting()
        )

    def due_list(self) -> Sheet:
        """What is due, longest first, then what is coming."""
        undecided = self.undecided()
        if not undecided:
            return Sheet((tr("No finished batch waits for a decision."),))
        rows = tuple(
            (c.due_words, c.state, c.batch, c.check.name, c.check.limits) for c in self.records.due()
        )
        done = (one.batch for one in undecided if not one.checks)
        notes = tuple(
            tr("{batch}: every check is written down; benchapp release {batch}", batch=batch)
            for batch in done
        )
        return Sheet((), ("due", "", "batch", "check", tr("has to be")), rows, notes)

    def batch(self, batch: str) -> BatchFacts:
        """How one batch stands, and what speaks against letting it go."""
        from benchapp.service.training import practised_in

        standing, line = self.records.standing(batch), self.journal.batch(batch)
        practised = practised_in(self.journal, batch) if line.rehearsal else None
        checks = self.records.checks(batch)
        releasers = self.records.people().releasers()
        labels = label_reasons(self.records, batch)
        elsewhere = self.records.against_elsewhere(batch)
        reasons = speaks_against("released", standing, checks, labels) + elsewhere
        otherwise = speaks_against("released", replace(standing, deviations=()), (), labels) + elsewhere
        last = standing.decisions[-1] if standing.decisions else None
        return BatchFacts(
            line, checks,
            tuple(standing.deviations),
            reasons, tuple(p.who for p in releasers),
            practised.said if practised is not None else "",
            tuple(tr("{pieces} kept back: {where}, until {until}", pieces=kept.pieces, where=kept.where, until=kept.until) for kept in standing.retained),
            *unknown_to_law_of(self.records, batch),
            gone_of(self.journal, batch),
            (last.decision, last.by, standing.decided_at, last.reason) if last else ("", "", "", ""),
            otherwise,
        )  # fmt: skip

    def record_check(self, batch: str, check: str, result: CheckResult, by: str, pin: Pin) -> str:
        """Write a result down, signed; the sentence that says how it came out."""
        self.journal.everywhere.batch(batch)
        who = signed(self.journal, by, pin).who
        passed = deciding.record_check(self.records, batch, check, result, who)
        word = tr("passed.") if passed else tr("failed. Decide about the batch, or find out why first.")
        return tr("{check} of {batch}: {word}", check=check, batch=batch, word=word)

    def close_deviation(self, batch: str, number: int, reason: str, by: str, pin: Pin) -> str:
        """Accept an open deviation, signed by a releaser."""
        kind = deciding.deviation(self.records, batch, number).kind
        who = signed(self.journal, by, pin, "releaser").who
        if unchecked_device(kind) and not reason.startswith(NOT_CHECKED):
            reason = f"{NOT_CHECKED} {reason}" if reason.strip() else ""
        return self._close(batch, number, reason, who)

    def checked_afterwards(self, batch: str, number: int, by: str, pin: Pin) -> str:
        """Accept that a device was not checked before a make, by the check it passed since; signed by a releaser.
        Raises CommandError where it passed none, or failed."""
        named(by, "releaser")
        device = unchecked_device(deciding.deviation(self.records, batch, number).kind)
        if not device:
            raise CommandError(
                tr(
                    "Deviation {number} of {batch} is about no unchecked device. Close it with --reason.",
                    number=number,
                    batch=batch,
                )
            )
        passed = self._checks_since(batch, device)
        return self._close(
            batch,
            number,
            tr("checked afterwards: {passed}", passed=passed),
            signed(self.journal, by, pin, "releaser").who,
        )

    def _checks_since(self, batch: str, device: str) -> str:
        """What a device showed when it was checked after a batch was begun, in words. Raises CommandError."""
        first = self.journal.stored(batch)[0]
        facts = next(d for d in getattr(first.event, "devices", ()) if d.name == device)
        begun = datetime.fromisoformat(first.wall)
        since = (c for c in checks_in(self.journal.path.parent) if datetime.fromisoformat(c.at) > begun)
        newest = {c.channel: c for c in since if c.device == device}
        wanted = facts.channels if len(facts.channels) > 1 and "" not in newest else ("",)
        for channel in wanted:
            name = f"{device}, {channel}" if channel else device
            if channel not in newest:
                raise CommandError(
                    tr(
                        "The {name} was not checked since {batch} was begun. Do it now: {how_to_check}.",
                        name=name,
                        batch=batch,
                        how_to_check=HOW_TO_CHECK,
                    )
                )
            if not newest[channel].passed:
                raise CommandError(
                    tr(
                        "The {name} failed its check: {words}. What it measured is not known; decide about "
                        "the batch, or say in --reason why it can be used.",
                        name=name,
                        words=newest[channel].words,
                    )
                )
        return "; ".join(f"{newest[c].device_words}, {newest[c].words}" for c in wanted)

    def _close(self, batch: str, number: int, reason: str, who: str) -> str:
        deciding.close_deviation(self.records, batch, number, reason, who)
        return tr(
            "Deviation {number} of {batch} is closed: {reason}", number=number, batch=batch, reason=reason
        )

    def decide(self, batch: str, decision: str, reason: str, by: str, pin: Pin) -> str:
        """Release, rework or reject, signed; the sentence that says what was written."""
        named(by, "releaser")
        label = label_reasons(self.records, batch)
        reasons = deciding.against(self.records, batch, decision, by, label)
        if reasons:
            raise CommandError("\n".join(reasons))
        notes = deciding.decide(self.records, batch, decision, reason, signed(self.journal, by, pin), label)
        silent = f" {unknown_to_law_of(self.records, batch)[0]}" if decision == "released" else ""
        return tr(
            "{batch} is {decision}.{names}{silent}",
            batch=batch,
            decision=decision,
            names="".join(tr(" Noted: {n}.", n=n) for n in notes),
            silent=silent,
        )

    def retain(self, batch: str, pieces: int, where: str, until: str, by: str, pin: Pin) -> str:
        """Containers kept back with the batch, until an ISO date."""
        self.journal.everywhere.batch(batch)
        who = signed_if_enrolled(self.journal, by, pin)
        leaving.retain(
            self.records, batch, ev.SampleRetained(at_s=0.0, pieces=pieces, where=where, until=until, by=who)
        )
        return tr(
            "{pieces} of {batch} kept back: {where}, until {until}.",
            pieces=pieces,
            batch=batch,
            where=where,
            until=until,
        )

    def dispatch(self, batch: str, sent: Consignment, by: str, pin: Pin) -> str:
        """Containers of a released batch leave."""
        first, last = container_numbers(sent.containers)
        on = self.day_gone_by(sent.on)
        self.journal.everywhere.batch(batch)
        who = signed_if_enrolled(self.journal, by, pin)
        note = ev.Dispatched(at_s=0.0, first=first, last=last, to=sent.to, on=on, note=sent.note, by=who)
        leaving.dispatch(self.records, batch, note)
        return tr(
            "{batch} {first} to {last} went to {to} on {on}.",
            batch=batch,
            first=first,
            last=last,
            to=sent.to,
            on=on,
        )


@dataclass(frozen=True, slots=True)
class Consignment:
    """Containers that leave: "7" or "1-24", to whom, on which ISO date ("" today), the delivery note's number."""

    containers: str
    to: str
    on: str = ""
    note: str = ""


def container_numbers(text: str) -> tuple[int, int]:
    """The first and the last of "7" or "1-24". Raises CommandError."""
    match = re.fullmatch(r"(\d{1,6})(?:\s*[-–]\s*(\d{1,6}))?", text.strip())
    if match is None:
        raise CommandError(tr("{text!r} names no containers; write 7 or 1-24.", text=text))
    return int(match[1]), int(match[2] or match[1])
