"""People: who may sign for what, and the proof that it was them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from benchapp import events as ev
from benchapp.foundation.language import alphabetical, tr
from benchapp.foundation.name_likeness import look_alike
from benchapp.record.elsewhere import PersonElsewhere
from benchapp.record.journal import Journal
from benchapp.record.pin_file import PinFile
from benchapp.record.pins import WrongPin, fits, still_to_wait_s, wait_after_s
from benchapp.record.stored_event import StoredEvent

#: A maker makes; a helper makes in training; a releaser decides whether a batch may leave.
ROLES = ("maker", "helper", "releaser")
#: The events that say who is who.
KINDS = (ev.PersonEnrolled, ev.PersonRetired, ev.PinChanged, ev.PinRefused, ev.PinProved)


@dataclass(frozen=True, slots=True)
class Person:
    """One person. ``pin`` is what this bench wrote down of it, "" where none was set here, and ``pin_at`` where that stands;
    ``refused``: the last wrong PIN since a right one."""

    who: str
    roles: tuple[str, ...]
    pin: str
    retired: bool = False
    refused: WrongPin | None = None
    pin_at: int = 0


@dataclass(frozen=True)
class People:
    """Everybody who was ever enrolled, by name."""

    known: Mapping[str, Person] = field(default_factory=dict)

    def find(self, who: str) -> Person | None:
        """A person who may sign now, capitals apart."""
        wanted = who.strip().casefold()
        return next((p for p in self.signing() if p.who.casefold() == wanted), None)

    def signing(self) -> tuple[Person, ...]:
        """All who may sign now, by name."""
        return tuple(
            sorted((p for p in self.known.values() if not p.retired), key=lambda p: alphabetical(p.who))
        )

    def releasers(self) -> tuple[Person, ...]:
        """All who may sign as a releaser."""
        return tuple(p for p in self.signing() if "releaser" in p.roles)


@dataclass(frozen=True, slots=True)
class Proof:
    """That a person was asked for their PIN and knew it."""

    who: str
    roles: tuple[str, ...]
    wall: str


def people_of(stored: Iterable[StoredEvent], elsewhere: Mapping[str, PersonElsewhere]) -> People:
    """Everybody, from the events of KINDS in order, and who is known ``elsewhere``, retired and in the roles that all benches
    together say. A PIN is that of this bench alone."""
    known = {who: Person(who, other.roles, "") for who, other in elsewhere.items()}
    for s in stored:
        e = s.event
        if isinstance(e, ev.PersonEnrolled):
            known[e.who] = Person(e.who, e.roles, e.pin, pin_at=s.seq)
        elif isinstance(e, ev.PersonRetired | ev.PinChanged | ev.PinRefused | ev.PinProved):
            person = known.get(e.who)
            if person is not None:
                known[e.who] = _after(person, e, s)
    for who, other in elsewhere.items():
        known[who] = replace(known[who], roles=other.roles, retired=other.retired)
    return People(known)


def _after(person: Person, e: ev.Event, s: StoredEvent) -> Person:
    if isinstance(e, ev.PersonRetired):
        return replace(person, retired=True)
    if isinstance(e, ev.PinChanged):
        return replace(person, pin=e.pin, pin_at=s.seq, refused=None)
    if isinstance(e, ev.PinRefused):
        return replace(person, refused=WrongPin(s.wall, e.times, e.at_s))
    return replace(person, refused=None)


def people_in(journal: Journal) -> People:
    """Everybody a journal knows, and the other benches of its workshop."""
    return people_of(journal.own.of_kinds(KINDS, ev.WORKSHOP), journal.elsewhere.people())


def prove(journal: Journal, who: str, pin: str, running_s: float) -> Proof | str:
    """The proof that it is ``who``, or the one sentence why not. A wrong PIN is on disk before this returns.
    ``running_s``: how long the computer has been running."""
    others = journal.elsewhere.people()
    with journal.writing() as c:  # from the look at the count to the new count nobody else tries
        people = people_of(journal.of_kinds_within(c, KINDS, ev.WORKSHOP), others)
        person = people.find(who)
        if person is None:
            names = ", ".join(p.who for p in people.signing()) or tr("nobody yet")
            return tr("{who} is not enrolled here; enrolled: {names}.", who=who, names=names)
        now = journal.wall()
        wait_s = still_to_wait_s(person.refused, now, running_s)
        if wait_s > 0:
            return tr(
                "Too many wrong PINs for {who}. Wait {words}, then try again.",
                who=person.who,
                words=_words(wait_s),
            )
        kept = PinFile(journal.path.parent).behind(person.who, person.pin)
        if not kept:
            return tr(
                "{who} has no PIN on this bench. A releaser who has one sets it here: benchapp person pin.",
                who=person.who,
            )
        if fits(pin, kept):
            if person.refused:
                journal.append_within(c, ev.WORKSHOP, [ev.PinProved(at_s=0.0, who=person.who)])
            return Proof(person.who, person.roles, now)
        times = person.refused.times + 1 if person.refused else 1
        refused = ev.PinRefused(at_s=running_s, who=person.who, times=times)
        journal.append_within(c, ev.WORKSHOP, [refused])
    wait_s = wait_after_s(times)
    then = tr(" Wait {words}, then try again.", words=_words(wait_s)) if wait_s else tr(" Try again.")
    return tr("That is not the PIN of {who}.{then}", who=person.who, then=then)


def enrolment_problem(people: People, who: str, roles: tuple[str, ...]) -> str:
    """ "" or why this person cannot be enrolled so."""
    if not who.strip():
        return tr("Say who it is.")
    if people.find(who) is not None:
        return tr("{who} is enrolled already.", who=who)
    alike = next((p.who for p in people.known.values() if p.who != who and look_alike(p.who, who)), None)
    if alike is not None:
        return tr(
            "{who} looks like {alike}, who is known here. Add something that tells the two apart.",
            who=who,
            alike=alike,
        )
    unknown = [r for r in roles if r not in ROLES]
    if unknown or not roles:
        return tr("A role is one of {names}.", names=", ".join(ROLES))
    if not people.releasers() and "releaser" not in roles:
        return tr("The first person enrolled has to be a releaser: somebody must be able to decide.")
    return ""


def not_enrolled(who: str) -> str:
    """Said of a name that nobody signs by."""
    return tr("{who} is not enrolled here.", who=who)


def retirement_problem(people: People, who: str) -> str:
    """ "" or why this person cannot be retired."""
    person = people.find(who)
    if person is None:
        return not_enrolled(who)
    others = [p for p in people.releasers() if p.who != person.who]
    if not others:
        return tr("{who} is the only releaser. Enrol another first.", who=person.who)
    return ""


def _words(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 120 else tr("{seconds:.0f} min", seconds=seconds / 60)
