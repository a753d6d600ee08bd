"""Who may do which kind of step, and since when: a fold over what they did and what was granted.

Levels: rehearsed (the goal of a scenario was reached on a simulated bench), supervised (done in a real make, and a
second person signed "seen and found right"), independent (granted by a maker or releaser). A second person at
critical weighings is modelled on 21 CFR 211.101(c); the levels themselves are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import select

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.record.journal import Journal
from benchapp.record.people import People, not_enrolled
from benchapp.record.stored_event import StoredEvent
from benchapp.record.tables import BATCH

#: From nothing to everything.
LEVELS = ("rehearsed", "supervised", "independent")
#: The kinds of step somebody can become competent in.
STEP_KINDS = (
    "prepare", "weigh", "disperse", "premix", "heat", "top up", "combine", "blend", "cool", "rest", "add",
    "measure ph", "look", "density", "measure", "fill", "clean up", "finish",
)  # fmt: skip
#: Kinds in which a helper needs a second person until independent: critical weighings, and what decides a batch.
WITNESSED = ("weigh", "combine", "add", "measure ph", "fill")
#: The meaning of a witness's signature; the core writes the same words.
SEEN = tr_noop("seen and found right")

#: Says of a finished rehearsal's events which kinds of step it is evidence for; () where its goal was missed.
Evidence = Callable[[Sequence[ev.Event]], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Level:
    """A level, the wall time since when, and what it rests on."""

    level: str
    since: str
    why: str


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing that speaks for somebody: where it stands in the journal, and whether a person granted it."""

    seq: int
    wall: str
    who: str
    kind: str
    level: str
    why: str
    granted: bool = False


Competence = Mapping[tuple[str, str], Level]


def competence_of(facts: Iterable[Fact]) -> Competence:
    """The fold, by (who, kind of step). A grant sets the level, upwards or down; evidence only ever raises it."""
    found: dict[tuple[str, str], Level] = {}
    for f in sorted(facts, key=lambda f: f.seq):
        before = found.get((f.who, f.kind))
        if before is not None and not f.granted and LEVELS.index(f.level) <= LEVELS.index(before.level):
            continue
        if before is None or before.level != f.level:
            found[f.who, f.kind] = Level(f.level, f.wall, f.why)
    return found


def competence_in(journal: Journal, evidence: Evidence, who: str = "") -> Competence:
    """Everybody's competence, or only that of ``who``. Reads grants, signatures and the first event of the makes
    these belong to; whole makes only where a scenario was rehearsed."""
    facts: list[Fact] = []
    for s in journal.of_kinds((ev.CompetenceGranted, ev.Signed)):
        if isinstance(s.event, ev.CompetenceGranted):
            e = s.event
            facts.append(
                Fact(s.seq, s.wall, e.who, e.step_kind, e.level, tr("granted by {by}", by=e.by), True)
            )
        elif isinstance(s.event, ev.Signed) and s.event.meaning == SEEN:
            maker = _maker(journal, s)
            if maker is not None:
                why = tr("seen by {who}", who=s.event.who)
                facts.append(Fact(s.seq, s.wall, maker, _kind(s.event.step), "supervised", why))
    for last, maker, kinds in _rehearsed(journal, evidence, who):
        why = tr("rehearsal {batch}", batch=last.batch)
        facts += [Fact(last.seq, last.wall, maker, k, "rehearsed", why) for k in kinds]
    return competence_of(f for f in facts if not who or f.who == who)


def _maker(journal: Journal, signed: StoredEvent) -> str | None:
    made = journal.started(signed.batch)
    return None if made is None or made.rehearsal else made.maker


def _rehearsed(
    journal: Journal, evidence: Evidence, who: str
) -> Iterable[tuple[StoredEvent, str, tuple[str, ...]]]:
    query = select(BATCH.c.batch).where(BATCH.c.rehearsal, BATCH.c.end != "").order_by(BATCH.c.seq)
    if who:
        query = query.where(BATCH.c.maker == who)
    with journal.reading() as c:
        names = [str(row[0]) for row in c.execute(query)]
    for name in names:
        made = journal.started(name)
        if made is None or not made.scenario:
            continue
        stored = journal.stored(name)
        kinds = evidence([s.event for s in stored])
        if kinds:
            yield stored[-1], made.maker, kinds


def _kind(step_key: str) -> str:
    """A step's key is its number and its kind, "02-measure-ph"."""
    return step_key.partition("-")[2].replace("-", " ")


def witness_for(who: str, competence: Competence) -> tuple[str, ...]:
    """The kinds of step in which ``who`` needs a second person: those of WITNESSED not yet independent."""
    return tuple(k for k in WITNESSED if _level(competence, who, k) != "independent")


def _level(competence: Competence, who: str, kind: str) -> str:
    found = competence.get((who, kind))
    return found.level if found else ""


def grant_problem(people: People, who: str, by: str) -> str:
    """ "" or why ``by`` may not grant ``who`` anything."""
    granter, person = people.find(by), people.find(who)
    if person is None:
        return not_enrolled(who)
    if granter is None or not {"maker", "releaser"} & set(granter.roles):
        return tr("{by} is neither a maker nor a releaser here.", by=by)
    if granter.who == person.who:
        return tr("Nobody grants it to themselves.")
    return ""


def grant(people: People, who: str, kind: str, level: str, by: str, reason: str = "") -> ev.CompetenceGranted:
    """The event of a grant. Raises ValueError for what grant_problem names, or an unknown kind or level."""
    problem = grant_problem(people, who, by)
    person = people.find(who)
    if problem or person is None:
        raise ValueError(problem)
    if kind not in STEP_KINDS or level not in LEVELS:
        raise ValueError(
            tr(
                "A kind of step is one of {names}, a level one of {names_2}.",
                names=", ".join(STEP_KINDS),
                names_2=", ".join(LEVELS),
            )
        )
    return ev.CompetenceGranted(at_s=0.0, who=person.who, step_kind=kind, level=level, by=by, reason=reason)
