"""One truth from many chains, the same whatever order they arrived in. What came before what is told by what each bench
had sealed, never by a clock; of what nobody knew of each other, the stricter holds."""

from __future__ import annotations

import bisect
import math
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Generic, NamedTuple, TypeVar

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.record.elsewhere import PersonElsewhere
from benchapp.record.lots import NOTHING, Lot, received

#: The stricter first: what holds while two benches say otherwise and neither knew of the other.
STRICTER_LOT = ("rejected", "quarantined", tr_noop("used up"), "usable")
STRICTER_DECISION = ("rejected", "rework", "released")

E = TypeVar("E", bound=ev.Event)
F = TypeVar("F", bound=ev.Event)
T = TypeVar("T")


class ChainPlace(NamedTuple):
    """Where an event stands among all chains."""

    bench: str
    seq: int


@dataclass(frozen=True, slots=True)
class ChainFact(Generic[E]):
    """An event, where it stands, and when it was written by the clock there."""

    place: ChainPlace
    event: E
    wall: str = ""


class Knowledge:
    """What was known where an event was written: everything before it in its chain, the chain of the bench that one goes on
    with, and of the others what had been sealed until then."""

    def __init__(
        self,
        seals: Iterable[tuple[ChainPlace, ChainPlace]],
        lineage: Mapping[str, Mapping[str, int]] | None = None,
    ) -> None:
        """``seals``: where one stands, and the head it names. ``lineage``: by bench, how far it goes on with which."""
        self._lineage = lineage or {}
        self._seals: dict[tuple[str, str], list[tuple[int, int]]] = {}
        for at, head in sorted(seals):
            known = self._seals.setdefault((at.bench, head.bench), [])
            known.append((at.seq, max(head.seq, known[-1][1] if known else 0)))

    def ordered(
        self, found: Iterable[T], place_of: Callable[[T], ChainPlace], late: Callable[[T], int] = lambda _: 0
    ) -> list[T]:
        """Everything ``found`` in an order in which nothing comes before what was known where it was written; every bench finds the same:
        of the first ones of each chain that know of no other of them, that which is least ``late``, then the first by its bench."""
        chains: dict[str, list[tuple[ChainPlace, T]]] = {}
        for one in found:
            chains.setdefault(place_of(one).bench, []).append((place_of(one), one))
        for chain in chains.values():
            chain.sort(key=lambda pair: pair[0], reverse=True)
        knows: dict[str, dict[str, int]] = {}
        out = list[T]()
        while chains:
            first = {bench: chain[-1][0] for bench, chain in sorted(chains.items())}
            for bench, place in first.items():
                if bench not in knows:
                    knows[bench] = {other: self.of(place, other) for other in first if other != bench}
            free = [
                bench
                for bench in first
                if not any(first[other].seq <= knows[bench][other] for other in first if other != bench)
            ]
            # there is no circle in good faith
            taken = min(free or first, key=lambda bench: late(chains[bench][-1][1]))
            out.append(chains[taken].pop()[1])
            knows.pop(taken)
            if not chains[taken]:
                del chains[taken]
        return out

    def of(self, place: ChainPlace, bench: str) -> int:
        """How far the chain of ``bench`` was known where ``place`` was written, itself included."""
        inherited = self._lineage.get(place.bench, {})
        found = place.seq if bench == place.bench else inherited.get(bench, 0)
        for by, until in ((place.bench, place.seq), *inherited.items()):
            found = max(found, self._sealed(by, bench, min(until, place.seq)))
        return found

    def _sealed(self, by: str, bench: str, until: int) -> int:
        """The furthest event of ``bench`` that ``by`` sealed in its chain up to a place, 0 none."""
        known = self._seals.get((by, bench), [])
        at = bisect.bisect_right(known, (until, math.inf))
        return known[at - 1][1] if at else 0

    def standing(self, facts: Sequence[ChainFact[E]]) -> list[ChainFact[E]]:
        """Those that nobody knew who said otherwise later. Of each chain only the last can be one."""
        last = {fact.place.bench: fact for fact in sorted(facts, key=lambda fact: fact.place)}
        found = [
            f
            for f in last.values()
            if not any(g is not f and f.place.seq <= self.of(g.place, f.place.bench) for g in last.values())
        ]
        return sorted(found or last.values(), key=lambda fact: fact.place)


def _strictness(order: Sequence[str], word: str) -> int:
    """Where a word stands, the strictest first; one that this version does not know is stricter than any."""
    return order.index(word) if word in order else -1


#: What was drawn on a bench from a lot under a name, behind a place in its chain.
Drawn = Callable[[str, str, int], float]


@dataclass(frozen=True, slots=True)
class LotFacts:
    """Everything any bench wrote down about one delivery; ``names`` are what each bench calls it."""

    delivery: ChainFact[ev.LotReceived]
    names: tuple[tuple[str, str], ...]
    opened: tuple[ChainFact[ev.LotOpened], ...] = ()
    judged: tuple[ChainFact[ev.LotJudged], ...] = ()
    counted: tuple[ChainFact[ev.LotCounted], ...] = ()


@dataclass(frozen=True, slots=True)
class MergedLot:
    """A lot as all benches together know it; ``blocked_by``: the bench whose judgement keeps it from use, "" none;
    ``conflicts``: a sentence each."""

    lot: Lot
    blocked_by: str = ""
    conflicts: tuple[str, ...] = ()


def merged_lot(facts: LotFacts, drawn: Drawn, knowledge: Knowledge) -> MergedLot:
    """A delivery with all that was drawn from it, opened, judged and counted anywhere."""
    lot = received(facts.delivery.event)
    conflicts: list[str] = []
    opened = [lot.opened, *(fact.event.on for fact in facts.opened)]
    left = 0.0 if lot.on_tap else _left(facts, drawn, knowledge, conflicts)
    lot = replace(lot, opened=min((day for day in opened if day), default=""), left=left)
    blocked_by = ""
    if facts.judged:
        judged = knowledge.standing(facts.judged)
        holds = min(judged, key=lambda f: (_strictness(STRICTER_LOT, f.event.state), f.place))
        lot = replace(lot, state=holds.event.state, why=holds.event.reason)
        blocked_by = holds.place.bench if lot.state not in ("usable", "used up") else ""
        if len({f.event.state for f in judged}) > 1:
            said = ", ".join(
                tr("{state} on {bench}", state=f.event.state, bench=f.place.bench) for f in judged
            )
            conflicts.append(
                tr(
                    "Lot {lot} was judged on benches that did not know of each other: {said}. It counts "
                    "as {state}.",
                    lot=lot.lot,
                    said=said,
                    state=lot.state,
                )
            )
    return MergedLot(lot, blocked_by, tuple(conflicts))


def _left(facts: LotFacts, drawn: Drawn, knowledge: Knowledge, conflicts: list[str]) -> float:
    """A count stands against what was drawn before it as far as it knew; of counts that did not know of each other, the
    one that leaves less."""
    name = facts.delivery.event.lot
    bases: list[tuple[ChainPlace | None, float]] = [(None, facts.delivery.event.quantity)]
    if facts.counted:
        bases = [(fact.place, fact.event.quantity) for fact in knowledge.standing(facts.counted)]
    if len(bases) > 1:
        where = " and ".join(place.bench for place, _ in bases if place)
        conflicts.append(
            tr(
                "Lot {name} was counted on {where} at once: it counts as what leaves less. Count it again.",
                name=name,
                where=where,
            )
        )
    lefts = []
    for place, quantity in bases:
        gone = (
            drawn(bench, called, knowledge.of(place, bench) if place else 0) for bench, called in facts.names
        )
        lefts.append(round(quantity - sum(gone), 4))
    drew = {bench for bench, called in facts.names if drawn(bench, called, 0)}
    if min(lefts) <= -NOTHING and len(drew) > 1:
        unit = facts.delivery.event.unit
        conflicts.append(
            tr(
                "Lot {name}: {lefts:g} {unit} more went out than came in. Count it: used on {names}.",
                name=name,
                lefts=-min(lefts),
                unit=unit,
                names=", ".join(sorted(drew)),
            )
        )
    return min(lefts)


@dataclass(frozen=True, slots=True)
class MergedDecision:
    """What was decided about a batch: the decision that ``holds``, None where none does; all that count in their order, that one last;
    and whether benches that did not know of each other decided otherwise."""

    holds: ChainFact[ev.BatchDecided] | None
    counted: tuple[ChainFact[ev.BatchDecided], ...]
    differ: bool

    @property
    def decision(self) -> str:
        """As a word, "" for none."""
        return self.holds.event.decision if self.holds is not None else ""


def merged_decision(
    facts: Sequence[ChainFact[ev.BatchDecided]],
    knowledge: Knowledge,
    doubted: Collection[ChainPlace],
) -> MergedDecision:
    """What all benches decided about a batch; a release that stands at one of ``doubted`` lets nothing go."""
    standing = knowledge.standing(facts)
    lax = [f for f in facts if f.place in doubted and f.event.decision == "released"]
    strict = [f for f in standing if f not in lax]
    holds = min(
        strict, key=lambda f: (_strictness(STRICTER_DECISION, f.event.decision), f.place), default=None
    )
    before = knowledge.ordered((f for f in facts if f is not holds and f not in lax), lambda f: f.place)
    if holds is None:  # what was decided before the doubted release was lifted by it
        return MergedDecision(None, (), False)
    return MergedDecision(holds, (*before, holds), len({f.event.decision for f in standing}) > 1)


Status = ev.PersonEnrolled | ev.PersonRetired


def merged_person(status: Sequence[ChainFact[Status]], knowledge: Knowledge) -> PersonElsewhere | None:
    """A person as all benches know them: retired anywhere is retired, unless enrolled again by who knew it; of several
    enrolments the roles they have in common. None for somebody nobody enrolled."""
    enrolled = [(f.place, f.event) for f in status if isinstance(f.event, ev.PersonEnrolled)]
    if not enrolled:
        return None
    standing = knowledge.standing(status)
    retired = any(isinstance(f.event, ev.PersonRetired) for f in standing)
    now = [f.event for f in standing if isinstance(f.event, ev.PersonEnrolled)]
    first = now[0] if now else max(enrolled, key=lambda pair: pair[0])[1]
    roles = tuple(role for role in first.roles if all(role in e.roles for e in now))
    return PersonElsewhere(roles, retired)
