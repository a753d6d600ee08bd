"""How everything stands by all chains that are here: lots, people, decisions, and what does not go together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, func, select

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.record.elsewhere import PersonElsewhere
from benchapp.replication.all_indexes import NUMBERS, PART_OF, rank
from benchapp.replication.gathering import DRAWN, FACT, SEAL, UNREADABLE, facts_of
from benchapp.replication.member import MemberBench, replaced_by
from benchapp.replication.merging import (
    ChainFact,
    ChainPlace,
    Drawn,
    Knowledge,
    MergedDecision,
    MergedLot,
    merged_decision,
    merged_lot,
    merged_person,
)
from benchapp.replication.origin_names import LotNames, OriginNames
from benchapp.replication.others import RECEIVED
from benchapp.replication.overlaps import overlaps_in

LOT_KINDS = ("LotReceived", "LotOpened", "LotJudged", "LotCounted")
PERSON_KINDS = ("PersonEnrolled", "PersonRetired")
Facts = Mapping[str, list[ChainFact[Any]]]


@dataclass(frozen=True)
class Picture:
    """Everything as it stands at one instant, lots by the name they have on this bench."""

    lots: Mapping[str, MergedLot] = field(default_factory=dict)
    people: Mapping[str, PersonElsewhere] = field(default_factory=dict)
    decisions: Mapping[str, MergedDecision] = field(default_factory=dict)
    writers: Mapping[str, frozenset[str]] = field(default_factory=dict)  # by lot or batch, who wrote about it
    conflicts: tuple[str, ...] = ()
    knowledge: Knowledge = field(default_factory=lambda: Knowledge([]))
    named: Mapping[tuple[str, str], tuple[str, int, int]] = field(
        default_factory=dict
    )  # see all_indexes.keep_names
    named_lots: Mapping[tuple[str, str], str] = field(default_factory=dict)


def picture_of(
    c: Connection, members: Mapping[str, MemberBench], lineage: Mapping[str, Mapping[str, int]], own: str
) -> Picture:
    """Everything as the bench ``own`` sees it, from what was gathered."""
    knowledge = Knowledge(_seals(c, own), lineage)
    lot_facts, unreadable = facts_of(c, *LOT_KINDS)
    people, unreadable_people = facts_of(c, *PERSON_KINDS)
    decided, unreadable_decisions = facts_of(c, "BatchDecided")
    names, batches = LotNames(lot_facts, members), OriginNames(_makers(c), members)
    drawn = _drawn(c)
    lots = {
        names.called(facts.delivery.place.bench, facts.delivery.event.lot, own): merged_lot(
            facts, drawn, knowledge
        )
        for facts in names.lots(lot_facts)
    }
    called = _called(decided, batches, own)
    overlaps = overlaps_in(c, called, knowledge)
    decisions = {
        batch: merged_decision(facts, knowledge, overlaps.doubted) for batch, facts in called.items()
    }
    newer = unreadable | unreadable_people | unreadable_decisions
    newer |= set(c.execute(select(FACT.c.bench).where(FACT.c.kind == UNREADABLE)).scalars())
    conflicts = (
        *(sentence for one in lots.values() for sentence in one.conflicts),
        *names.conflicts,
        *(
            _decided_twice(batch, one.holds)
            for batch, one in decisions.items()
            if one.differ and one.holds is not None
        ),
        *overlaps.conflicts,
        *(_newer(bench) for bench in sorted(newer)),
    )
    return Picture(
        lots, _people(people, knowledge), decisions, _writers(c, lot_facts, decided), conflicts, knowledge,
        _named(c, batches, members, own), names.otherwise(own),
    )  # fmt: skip


def _makers(c: Connection) -> dict[str, set[str]]:
    """By batch the benches that began one of that name."""
    found: dict[str, set[str]] = {}
    for batch, bench in c.execute(select(FACT.c.subject, FACT.c.bench).where(FACT.c.kind == "MakeStarted")):
        found.setdefault(batch, set()).add(bench)
    return found


def _called(facts: Facts, names: OriginNames, own: str) -> dict[str, list[ChainFact[Any]]]:
    """Facts about batches, by what the batch is called here."""
    found: dict[str, list[ChainFact[Any]]] = {}
    for name, written in facts.items():
        for fact in written:
            found.setdefault(names.here(fact.place.bench, name, own), []).append(fact)
    return found


def _named(
    c: Connection, names: OriginNames, members: Mapping[str, MemberBench], own: str
) -> dict[tuple[str, str], tuple[str, int, int]]:
    """What is called otherwise here, and whose numbers would meet those of the bench that made the batch: what others wrote about it, and
    what a bench that was replaced still wrote."""
    found = {key: (called, 0, 0) for key, called in names.otherwise(own).items()}
    for bench, batch in c.execute(select(PART_OF)):
        found[bench, batch] = (names.here(bench, batch, own), _more(members[bench]), 0)
    for bench, member in members.items():
        if bench != own:
            found[bench, ev.WORKSHOP] = (ev.WORKSHOP, _more(member), 0)
        ended = min(
            (
                replaced_by(heir, members)[bench].seq
                for heir in members
                if bench in replaced_by(heir, members)
            ),
            default=None,
        )
        if ended is not None:
            gone_on = select(RECEIVED.c.batch).where(RECEIVED.c.bench == bench, RECEIVED.c.seq > ended)
            for batch in c.execute(
                gone_on.group_by(RECEIVED.c.batch).having(func.min(RECEIVED.c.n) > 1)
            ).scalars():
                found.setdefault((bench, batch), (names.here(bench, batch, own), _more(member), ended))
    return found


def _more(member: MemberBench) -> int:
    return rank(member.short) * NUMBERS


def _seals(c: Connection, own: str) -> Iterator[tuple[ChainPlace, ChainPlace]]:
    """Those that were written in the workshop in which this bench is: another's benches may be called alike."""
    joined: dict[str, list[tuple[int, str]]] = {}
    for bench, seq, workshop in c.execute(
        select(FACT.c.bench, FACT.c.seq, FACT.c.subject)
        .where(FACT.c.kind == "BenchJoined")
        .order_by(FACT.c.seq)
    ):
        joined.setdefault(bench, []).append((seq, workshop))
    here = joined[own][-1][1] if own in joined else ""
    for row in c.execute(select(SEAL)):
        before = [workshop for seq, workshop in joined.get(row.by, ()) if seq < row.at]
        if not before or before[-1] == here:
            yield ChainPlace(row.by, row.at), ChainPlace(row.bench, row.seq)


def _drawn(c: Connection) -> Drawn:
    every = select(DRAWN.c.bench, DRAWN.c.lot, func.sum(DRAWN.c.amount)).group_by(DRAWN.c.lot, DRAWN.c.bench)
    totals = {(bench, lot): float(amount) for bench, lot, amount in c.execute(every)}

    def drawn(bench: str, lot: str, behind: int) -> float:
        if not behind or (bench, lot) not in totals:
            return totals.get((bench, lot), 0.0)
        amount = select(func.sum(DRAWN.c.amount)).where(DRAWN.c.lot == lot, DRAWN.c.bench == bench)
        return float(c.execute(amount.where(DRAWN.c.seq > behind)).scalar() or 0.0)

    return drawn


def _writers(c: Connection, *facts: Facts) -> dict[str, frozenset[str]]:
    """By lot or batch, the benches that wrote about it."""
    found: dict[str, set[str]] = {}
    for batch, bench in c.execute(select(FACT.c.subject, FACT.c.bench).where(FACT.c.kind == "MakeStarted")):
        found.setdefault(batch, set()).add(bench)
    for some in facts:
        for subject, written in some.items():
            found.setdefault(subject, set()).update(fact.place.bench for fact in written)
    return {subject: frozenset(by) for subject, by in found.items()}


def _people(facts: Facts, knowledge: Knowledge) -> dict[str, PersonElsewhere]:
    found = {}
    for who, written in facts.items():
        person = merged_person(written, knowledge)
        if person is not None:
            found[who] = person
    return found


def blocked(one: MergedLot) -> str:
    """That a lot may not be used, by whom and why."""
    why = f" ({one.lot.why})" if one.lot.why else ""
    return tr(
        "Lot {lot} of {name} was {state} on the bench {blocked_by}{why}.",
        lot=one.lot.lot,
        name=one.lot.name,
        state=one.lot.state,
        blocked_by=one.blocked_by,
        why=why,
    )


def _decided_twice(batch: str, holds: ChainFact[ev.BatchDecided]) -> str:
    return tr(
        "Benches that did not know of each other decided otherwise about {batch}: "
        "{decision}, of the bench {bench}, holds.",
        batch=batch,
        decision=holds.event.decision,
        bench=holds.place.bench,
    )


def _newer(bench: str) -> str:
    return tr(
        "What the bench {bench} wrote is partly of a newer version of the program: update this one.",
        bench=bench,
    )
