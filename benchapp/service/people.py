"""Who may sign here: people enrolled and retired, their roles and their PINs."""

from __future__ import annotations

import os

from benchapp import events as ev
from benchapp.foundation.language import Name, alphabetical, tr, tr_noop, translated
from benchapp.record.bench_identity import identity_in
from benchapp.record.people import Person, enrolment_problem, not_enrolled, retirement_problem
from benchapp.record.pin_file import PinFile
from benchapp.record.pins import hashed, problem_with
from benchapp.service.errors import CommandError
from benchapp.service.matter import Matter, Sheet
from benchapp.service.signing import Pin, prover, signed


class Personnel(Matter):
    """The people of the workshop."""

    def people(self) -> tuple[str, ...]:
        """Who may sign here."""
        return tuple(p.who for p in self.records.people().signing())

    def roles(self) -> dict[str, str]:
        """What each of them is here, in words."""
        return {p.who: ", ".join(map(translated, p.roles)) for p in self.records.people().signing()}

    def roster(self) -> Sheet:
        """Everybody who was ever enrolled, those who sign no more last; never a PIN."""
        known = sorted(self.records.people().known.values(), key=lambda p: (p.retired, alphabetical(p.who)))
        if not known:
            return Sheet((tr("Nobody is enrolled. Begin with: benchapp person enrol NAME --role releaser."),))
        rows = tuple(
            (Name(p.who), ", ".join(map(translated, p.roles)), "retired" if p.retired else "") for p in known
        )
        return Sheet((), ("who", "roles", ""), rows)

    def prove(self, who: str, pin: str) -> tuple[str, str]:
        """The role in which a person signs, and "" or the sentence why it is not them."""
        return prover(self.journal)(who, pin)

    def releasers(self) -> tuple[str, ...]:
        """Who may enrol somebody; nobody where the first one enrols themselves."""
        return tuple(p.who for p in self.records.people().releasers())

    def enrol(self, who: str, roles: tuple[str, ...], by: str, by_pin: Pin, pin: Pin) -> str:
        """Enrol somebody with a new PIN, signed by a releaser, the first person by themselves."""
        who, people = who.strip(), self.records.people()
        roles = tuple(dict.fromkeys(roles))
        problem = enrolment_problem(people, who, roles)
        if problem:
            raise CommandError(problem)
        signer = signed(self.journal, by, by_pin, "releaser").who if people.signing() else who
        self.records.add(
            ev.PersonEnrolled(at_s=0.0, who=who, roles=roles, pin=self._new_pin(who, pin), by=signer)
        )
        return tr("{who} is enrolled as {names}.", who=who, names=", ".join(map(translated, roles)))

    def retire(self, who: str, reason: str, by: str, pin: Pin) -> str:
        """Somebody signs no more, said by a releaser; what they signed stays."""
        people = self.records.people()
        problem = retirement_problem(people, who)
        if problem or not reason.strip():
            raise CommandError(problem or tr("Say why."))
        signer = signed(self.journal, by, pin, "releaser").who
        person = people.find(who)
        name = person.who if person else who
        self.records.add(ev.PersonRetired(at_s=0.0, who=name, by=signer, reason=reason))
        return tr("{name} signs no more. What they signed stays.", name=name)

    def change_pin(self, who: str, by: str, by_pin: Pin, pin: Pin) -> str:
        """One's own PIN with the old one; somebody else's by a releaser."""
        person = self.records.people().find(who)
        if person is None:
            raise CommandError(not_enrolled(who))
        own = by.strip().casefold() == person.who.casefold()
        if own and self._is_the_first(person):
            signer = person.who
        else:
            signer = signed(self.journal, by, by_pin, *(() if own else ("releaser",))).who
        self.records.add(
            ev.PinChanged(at_s=0.0, who=person.who, pin=self._new_pin(person.who, pin), by=signer)
        )
        return tr("{who} has a new PIN.", who=person.who)

    def _is_the_first(self, person: Person) -> bool:
        """Whether this is a releaser on a bench of a workshop on which no releaser ever had a PIN: as the first person of all, they
        set theirs by themselves, and it stands in the record."""
        identity = identity_in(self.journal)
        if identity is None or "releaser" not in person.roles:
            return False
        return all(p.pin_at < identity.first for p in self.records.people().releasers())

    def _new_pin(self, who: str, pin: Pin) -> str:
        """What is written down of a new PIN: its hash, and on a bench of a workshop, whose chain goes to the others, a seal of it."""
        kept = _hash_of(who, pin)
        identity = identity_in(self.journal)
        if identity is None or not identity.joined:
            return kept
        return PinFile(self.journal.path.parent).keep(who, kept)


def _hash_of(who: str, pin: Pin) -> str:
    """The hash of a new PIN; asked for twice where it is typed here. Raises CommandError."""
    typed = pin if isinstance(pin, str) else pin(tr("New PIN for {who} (4 to 12 digits): ", who=who))
    problem = problem_with(typed)
    if problem:
        raise CommandError(problem)
    if not isinstance(pin, str) and pin(tr_noop("The same again: ")) != typed:
        raise CommandError(tr("Those were two different PINs. Nothing was changed."))
    return hashed(typed, os.urandom)
