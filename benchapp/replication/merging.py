"""One truth from many chains, the same whatever order they arrived in. What came before what is told by what each bench
had sealed, never by a clock; of what nobody knew of each other, the stricter holds."""

from __future__ import annotations

import bisect
import math
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
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

    @cached_property
    def _steps(self) -> dict[str, list[tuple[int, int]]]:
        """By bench, from which place on how much is added to a place to tell how many steps came before it (Lamport, 1978): each
        event is a step behind the one before it, and behind every head that was sealed before."""
        written: dict[str, dict[int, list[ChainPlace]]] = {}
        for (by, bench), known in self._seals.items():
            for at, seq in known:
                written.setdefault(by, {}).setdefault(at, []).append(ChainPlace(bench, seq))
        waiting = {by: sorted(seals.items(), reverse=True) for by, seals in written.items()}
        found: dict[str, list[tuple[int, int]]] = {}

        def ready(place: ChainPlace) -> bool:
            later = waiting.get(place.bench)
            return not later or later[-1][0] > place.seq

        def take(by: str) -> None:
            at, heads = waiting[by].pop()
            behind = [self._behind(found, head) + 1 - at for head in heads]
            found.setdefault(by, []).append(
                (at, max([self._behind(found, ChainPlace(by, at)) - at, *behind]))
            )

        while any(waiting.values()):
            free = [by for by, seals in waiting.items() if seals and all(map(ready, seals[-1][1]))]
            for by in free or [min(by for by, seals in waiting.items() if seals)]:  # no circle in good faith
                take(by)
        return found

    def _behind(self, steps: Mapping[str, list[tuple[int, int]]], place: ChainPlace) -> int:
        for bench, until in ((place.bench, place.seq), *self._lineage.get(place.bench, {}).items()):
            known = steps.get(bench, [])
            at = bisect.bisect_right(known, (min(until, place.seq), math.inf))
            if at:
                return place.seq + known[at - 1][1]
        return place.seq

    def order(self, place: ChainPlace) -> tuple[int, ChainPlace]:
        """To sort by: nothing comes before what was known where it was written, and every bench finds the same order."""
        return self._behind(self._steps, place), place

    def of(self, place: ChainPlace, bench: str) -> int:
        """How far the chain of ``bench`` was known where ``place`` was written, itself included."""
        inherited = self._lineage.get(place.bench, {})
        found = place.seq if bench == place.bench else inherited.get(bench, 0)
        for by, until in ((place.bench, place.seq), *inherited.items()):
            known = self._seals.get((by, bench), [])
            at = bisect.bisect_right(known, (until, math.inf))
            if at:
                found = max(found, known[at - 1][1])
        return found

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
                "Of lot {name} {lefts:g} {unit} more was used than there was, on {names} together. Count it.",
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
    counted: tuple[ev.BatchDecided, ...]
    differ: bool

    @property
    def decision(self) -> str:
        """As a word, "" for none."""
        return self.holds.event.decision if self.holds is not None else ""


def merged_decision(
    facts: Sequence[ChainFact[ev.BatchDecided]],
    knowledge: Knowledge,
    doubted: Collection[ChainPlace] = (),
) -> MergedDecision:
    """What all benches decided about a batch; a release that stands at one of ``doubted`` lets nothing go."""
    standing = knowledge.standing(facts)
    lax = [f for f in facts if f.place in doubted and f.event.decision == "released"]
    strict = [f for f in standing if f not in lax]
    holds = min(
        strict, key=lambda f: (_strictness(STRICTER_DECISION, f.event.decision), f.place), default=None
    )
    before = sorted(
        (f for f in facts if f is not holds and f not in lax), key=lambda f: knowledge.order(f.place)
    )
    if holds is None:  # what was decided before the doubted release was lifted by it
        return MergedDecision(None, (), False)
    counted = (*(f.event for f in before), holds.event)
    return MergedDecision(holds, counted, len({f.event.decision for f in standing}) > 1)


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
