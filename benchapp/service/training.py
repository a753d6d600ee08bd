"""Training: how a rehearsal went, who may do what, and levels granted by PIN."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchapp.foundation.language import alphabetical, spoken, tr, translated
from benchapp.record.batch_line import BatchLine
from benchapp.record.competence import (
    LEVELS,
    STEP_KINDS,
    Competence,
    competence_in,
    grant,
    grant_problem,
    witness_for,
)
from benchapp.record.journal import Journal
from benchapp.record.people import Person
from benchapp.service.errors import CommandError
from benchapp.service.matter import Matter, Sheet
from benchapp.service.signing import Pin, evidence, signed
from benchapp.service.training_facts import Competent, Grant, Held

if TYPE_CHECKING:
    from benchapp.rehearsal.debrief import Debrief
    from benchapp.rehearsal.evidence import Practised


#: What was said of rehearsals that no longer change, by the language it was said in and the batch.
Told = dict[tuple[str, str], "Practised | None"]


def practised_among(journal: Journal, lines: Sequence[BatchLine], known: Told) -> dict[str, Practised]:
    """What each rehearsal of a scenario among ``lines`` was and how it ended; ``known`` keeps what no longer changes."""
    found, code = {}, spoken().code
    for line in lines:
        if not line.rehearsal:
            continue
        key = (code, line.batch)
        one = known[key] if key in known else practised_in(journal, line.batch)
        if line.end:
            known[key] = one
        if one is not None:
            found[line.batch] = one
    return found


def practised_in(journal: Journal, batch: str) -> Practised | None:
    """What a make practised and how it ended; None where it rehearsed no scenario, told from its first event."""
    made = journal.started(batch)
    if made is None or not made.scenario:
        return None
    from benchapp.rehearsal.evidence import practised

    return practised(journal.events(batch))


def reached_among(journal: Journal, lines: Sequence[BatchLine]) -> frozenset[str]:
    """The titles of the scenarios whose goal was reached in these rehearsals."""
    from benchapp.rehearsal.evidence import title_reached

    return frozenset(title_reached(journal.events(line.batch)) for line in lines if line.end) - {""}


class Training(Matter):
    """Who has shown what, and who may do what."""

    def debriefing(self, batch: str) -> Debrief:
        """How a rehearsal went. Raises CommandError where nobody can say."""
        from benchapp.rehearsal.debrief import debrief
        from benchapp.rehearsal.errors import RehearsalError

        try:
            return debrief(self.journal.events(batch))
        except RehearsalError as error:
            raise CommandError(str(error)) from error

    def competence(self) -> tuple[Competent, ...]:
        """Everybody who is enrolled, or of whom something is on record."""
        found = competence_in(self.journal, evidence)
        enrolled = {p.who: p for p in self.records.people().signing()}
        names = sorted(enrolled.keys() | {who for who, _ in found}, key=alphabetical)
        return tuple(_competent(who, enrolled.get(who), found) for who in names)

    def competence_list(self, who: str) -> Sheet:
        """Who may do what, and since when."""
        wanted = who.strip().casefold()
        people = (p for p in self.competence() if wanted in ("", p.who.casefold()))
        rows = tuple((p.who, h.kind, h.level, h.since, h.why) for p in people for h in p.held)
        if not rows:
            begin = tr("Begin with: benchapp rehearse --scenario NAME --maker WHO.")
            return Sheet((tr("Nothing is on record yet. {begin}", begin=begin),))
        return Sheet((), ("who", tr("kind of step"), tr("level"), "since", "by"), rows)

    def granters(self, who: str) -> tuple[str, ...]:
        """Who may grant ``who`` something."""
        people = self.records.people()
        return tuple(p.who for p in people.signing() if not grant_problem(people, who, p.who))

    def give(self, granted: Grant, by: str, pin: Pin) -> str:
        """Write a grant down, signed by somebody who may make or release, and never for oneself."""
        people = self.records.people()
        problem = grant_problem(people, granted.who, by)
        if problem:
            raise CommandError(problem)
        signer = signed(self.journal, by, pin).who
        event = grant(people, granted.who, granted.kind, granted.level, signer, granted.reason)
        self.records.add(event)
        return f"{event.who}: {translated(event.step_kind)}, {translated(event.level)}."


def _competent(who: str, person: Person | None, found: Competence) -> Competent:
    held = tuple(
        Held(kind, one.level, one.since[:10], one.why)
        for kind in STEP_KINDS
        if (one := found.get((who, kind))) is not None
    )
    held = tuple(sorted(held, key=lambda h: -LEVELS.index(h.level)))
    roles = person.roles if person else ()
    learning = "helper" in roles and "maker" not in roles
    return Competent(who, roles, held, witness_for(who, found) if learning else ())
