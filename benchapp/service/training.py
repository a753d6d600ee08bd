"""The workshop's training behind the glass: what can be practised, how it went, who may do what, granted by PIN."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from benchapp import events as ev
from benchapp.record.competence import (
    LEVELS,
    STEP_KINDS,
    Competence,
    competence_in,
    grant,
    grant_problem,
    witness_for,
)
from benchapp.record.journal import BatchLine, Journal
from benchapp.record.people import Person, enrolment_problem
from benchapp.record.pins import hashed, problem_with
from benchapp.record.workshop import Workshop
from benchapp.rehearsal.debrief import Debrief, debrief
from benchapp.rehearsal.errors import RehearsalError, ScenarioInvalid
from benchapp.rehearsal.evidence import goal_reached, practised
from benchapp.rehearsal.scenario_reading import find_scenario, scenarios
from benchapp.service.training_facts import Competent, Held, Practice, Practices


def practices(own: Path | None) -> Practices:
    """Every scenario, those in the folder ``own`` first; one sentence for each that cannot be used."""
    found, broken = [], []
    known = scenarios(own)
    for name in sorted(known, key=lambda name: known[name].parent != own):
        try:
            one = find_scenario(name, own)
        except RehearsalError as error:
            broken.append(_sentence(error))
            continue
        found.append(Practice(name, one.title, one.goal, one.teaches))
    return Practices(tuple(found), tuple(broken))


def _sentence(error: RehearsalError) -> str:
    """The first problem of a file by its own name, line and column, and how many more there are."""
    if not isinstance(error, ScenarioInvalid):
        return str(error)
    first, more = error.problems[0], len(error.problems) - 1
    also = f" And {more} more." if more else ""
    return f"{Path(first.file).name}:{first.line}:{first.column}: {first.what}. {first.instead}{also}"


def looked_back(journal: Journal, lines: Sequence[BatchLine], known: dict[str, str]) -> dict[str, str]:
    """What each rehearsal of a scenario among ``lines`` was and how it ended; ``known`` keeps what no longer changes."""
    found = {}
    for line in lines:
        if not line.rehearsal:
            continue
        said = known.get(line.batch)
        if said is None:
            said = said_of(journal, line.batch)
            if line.end:
                known[line.batch] = said
        if said:
            found[line.batch] = said
    return found


def said_of(journal: Journal, batch: str) -> str:
    """What a make practised and how it ended; "" where it rehearsed no scenario, told from its first event."""
    first = journal.at(batch, 1)
    scenario = first is not None and isinstance(first.event, ev.MakeStarted) and first.event.scenario
    return practised(journal.events(batch)) if scenario else ""


class TrainingDesk:
    """What the training pages ask of a workshop."""

    def __init__(self, shop: Workshop) -> None:
        self._workshop = shop

    def debrief(self, batch: str) -> Debrief | str:
        """How a rehearsal went, or the sentence why nobody can say."""
        try:
            return debrief(self._workshop.journal.events(batch))
        except RehearsalError as error:
            return str(error).splitlines()[0]

    def competence(self) -> tuple[Competent, ...]:
        """Everybody who is enrolled, or of whom something is on record."""
        found = competence_in(self._workshop.journal, goal_reached)
        enrolled = {p.who: p for p in self._workshop.people().signing()}
        names = sorted(enrolled.keys() | {who for who, _ in found}, key=str.casefold)
        return tuple(_competent(who, enrolled.get(who), found) for who in names)

    def granters(self, who: str) -> tuple[str, ...]:
        """Who may grant ``who`` something."""
        people = self._workshop.people()
        return tuple(p.who for p in people.signing() if not grant_problem(people, who, p.who))

    def grant(self, who: str, kind: str, level: str, by: str, pin: str) -> str:
        """Write a grant down, signed; the sentence that says how it came out."""
        people = self._workshop.people()
        problem = grant_problem(people, who, by)
        if problem:
            return problem
        proof = self._workshop.prove(by, pin)
        if isinstance(proof, str):
            return proof
        granted = grant(people, who, kind, level, proof.who)
        self._workshop.add(granted)
        return f"{granted.who}: {granted.step_kind}, {granted.level}."

    def releasers(self) -> tuple[str, ...]:
        """Who may enrol somebody; nobody where the first one enrols themselves."""
        return tuple(p.who for p in self._workshop.people().with_role("releaser"))

    def enrol(self, who: str, roles: tuple[str, ...], by: str, by_pin: str, pin: str) -> str:
        """Enrol somebody, signed by a releaser, the first person by themselves; the sentence that says how it went."""
        people = self._workshop.people()
        problem = enrolment_problem(people, who, roles) or problem_with(pin)
        if problem:
            return problem
        signer = who
        if people.signing():
            proof = self._workshop.prove(by, by_pin)
            if isinstance(proof, str):
                return proof
            if "releaser" not in proof.roles:
                return f"{proof.who} is no releaser here."
            signer = proof.who
        self._workshop.add(
            ev.PersonEnrolled(at_s=0.0, who=who, roles=roles, pin=hashed(pin, os.urandom), by=signer)
        )
        return f"{who} is enrolled as {', '.join(roles)}."


def _competent(who: str, person: Person | None, found: Competence) -> Competent:
    held = tuple(
        Held(kind, one.level, one.since[:10], one.why)
        for kind in STEP_KINDS
        if (one := found.get((who, kind))) is not None
    )
    held = tuple(sorted(held, key=lambda h: -LEVELS.index(h.level)))
    roles = person.roles if person else ()
    learning = "helper" in roles and "maker" not in roles
    return Competent(who, roles, held, witness_for(who, found) if learning else (), STEP_KINDS)
