"""How everything stands by all chains that are here: lots, people, decisions, and what does not go together."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from sqlalchemy import Connection, func, select

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.record.elsewhere import PersonElsewhere
from benchapp.record.lots import Lot
from benchapp.replication.all_indexes import NUMBERS, PART_OF, rank
from benchapp.replication.gathered_rows import facts_of, workshop_of
from benchapp.replication.gathered_tables import (
    BATCH_DIRTY,
    DRAWN,
    FACT,
    LOT_DIRTY,
    LOT_KINDS,
    NO_END,
    SEAL,
    UNREADABLE,
)
from benchapp.replication.member import MemberBench, replaced_by
from benchapp.replication.merging import (
    ChainFact,
    ChainPlace,
    Drawn,
    Knowledge,
    LotFacts,
    MergedDecision,
    MergedLot,
    merged_decision,
    merged_lot,
    merged_person,
)
from benchapp.replication.origin_names import LotNames, OriginNames, related
from benchapp.replication.others import RECEIVED
from benchapp.replication.overlaps import doubted_in, overlaps_in

#: The kind of conflict that is no lot's and no batch's: a bench that writes what this version cannot read.
NEWER = "newer"
#: What is about a name that stands for several lots.
SHARED_NAME = "shared name"
PERSON_KINDS = ("PersonEnrolled", "PersonRetired")
Facts = Mapping[str, list[ChainFact[Any]]]


@dataclass(frozen=True)
class Subjects:
    """Lots and batches by every name that may be written of them."""

    lots: frozenset[str]
    batches: frozenset[str]


@dataclass(frozen=True)
class Picture:
    """Everything as it stands at one instant, or what concerns some subjects, by the names that lots and batches have on this bench.
    ``conflicts``: what each sentence is about, a kind and a name, and the sentence."""

    lots: Mapping[str, MergedLot] = field(default_factory=dict)
    decisions: Mapping[str, MergedDecision] = field(default_factory=dict)
    conflicts: tuple[tuple[str, str, str], ...] = ()
    named: Mapping[tuple[str, str], tuple[str, int, int]] = field(
        default_factory=dict
    )  # see all_indexes.keep_names
    named_lots: Mapping[tuple[str, str], str] = field(default_factory=dict)


class View:
    """What the bench ``own`` sees in what was gathered, on one connection."""

    def __init__(
        self, c: Connection, members: Mapping[str, MemberBench], own: str, everything: bool = False
    ) -> None:
        """``everything``: so much will be asked that the seals are read at once."""
        self._c, self._members, self._own = c, members, own
        lineage = {
            bench: {old: head.seq for old, head in replaced_by(bench, members).items()} for bench in members
        }
        here = workshop_of(c, ChainPlace(own, NO_END))
        self.knowledge = (
            Knowledge(_seals(c, here), lineage) if everything else SealedKnowledge(c, here, lineage)
        )

    def decision(self, batch: str) -> MergedDecision | None:
        """What was decided about a batch, by its name here; None where nothing was."""
        return self._decisions(frozenset(related(batch, self._members))).get(batch)

    def _decisions(self, batches: frozenset[str]) -> dict[str, MergedDecision]:
        decided, _ = facts_of(self._c, "BatchDecided", subjects=batches)
        if not decided:
            return {}
        called = _called(decided, OriginNames(_makers(self._c, batches), self._members), self._own)
        return self._merged(called)

    def _merged(self, called: Facts) -> dict[str, MergedDecision]:
        doubted = doubted_in(self._c, called, self.knowledge)
        return {batch: merged_decision(facts, self.knowledge, doubted) for batch, facts in called.items()}

    def people(self) -> dict[str, PersonElsewhere]:
        """Everybody anybody enrolled."""
        facts, _ = facts_of(self._c, *PERSON_KINDS)
        people = {who: merged_person(written, self.knowledge) for who, written in facts.items()}
        return {who: person for who, person in people.items() if person is not None}

    def writers(self, names: Collection[str]) -> frozenset[str]:
        """The benches that wrote about one of these lots and batches."""
        query = select(FACT.c.bench).where(
            FACT.c.kind.in_((*LOT_KINDS, "MakeStarted", "BatchDecided")), FACT.c.subject.in_(names)
        )
        return frozenset(self._c.execute(query.distinct()).scalars())

    def picture(self, about: Subjects | None = None) -> Picture:
        """How everything stands, or what concerns some subjects, none of which has a name that two benches gave."""
        c, knowledge, members = self._c, self.knowledge, self._members
        lots_asked, batches_asked = (None, None) if about is None else (about.lots, about.batches)
        lot_facts, unreadable = facts_of(c, *LOT_KINDS, subjects=lots_asked)
        decided, unreadable_decisions = facts_of(c, "BatchDecided", subjects=batches_asked)
        names = LotNames(lot_facts, members)
        found = list(names.lots(lot_facts))
        made_in = {facts.delivery.event.made_in for facts in found}
        makers = _makers(c, None if batches_asked is None else batches_asked | made_in)
        batches = OriginNames(makers, members)
        lots = dict(self._lots(found, _drawn(c, lots_asked), names, batches))
        called = _called(decided, batches, self._own)
        decisions = self._merged(called)
        newer = unreadable | unreadable_decisions | (self._unreadable() if about is None else set())
        conflicts = (
            *((LOT_DIRTY, lot, sentence) for lot, one in lots.items() for sentence in one.conflicts),
            *((SHARED_NAME, name, sentence) for name, sentence in names.conflicts),
            *(
                (BATCH_DIRTY, batch, _decided_twice(batch, one.holds))
                for batch, one in decisions.items()
                if one.differ and one.holds is not None
            ),
            *(
                (BATCH_DIRTY if batch else "", batch, sentence)
                for batch, sentence in overlaps_in(
                    c,
                    called,
                    knowledge,
                    batches_asked,
                    lambda bench, name: batches.here(bench, name, self._own),
                )
            ),
            *((NEWER, bench, _newer(bench)) for bench in sorted(newer)),
        )
        named = _named(c, batches, members, self._own, batches_asked)
        return Picture(lots, decisions, conflicts, named, names.otherwise(self._own))

    def _lots(
        self, found: Iterable[LotFacts], drawn: Drawn, names: LotNames, batches: OriginNames
    ) -> Iterator[tuple[str, MergedLot]]:
        """Each lot as all benches know it, by its name here; a batch it was made in is called as here too."""
        for facts in found:
            origin, delivery = facts.delivery.place.bench, facts.delivery.event
            one = merged_lot(facts, drawn, self.knowledge)
            made_in = batches.here(origin, delivery.made_in, self._own)
            yield (
                names.called(origin, delivery.lot, self._own),
                replace(one, lot=replace(one.lot, made_in=made_in)),
            )

    def _unreadable(self) -> set[str]:
        _, people = facts_of(self._c, *PERSON_KINDS)
        return people | set(self._c.execute(select(FACT.c.bench).where(FACT.c.kind == UNREADABLE)).scalars())


class SealedKnowledge(Knowledge):
    """The same as Knowledge, looked up in the file where it is asked for."""

    def __init__(self, c: Connection, workshop: str, lineage: Mapping[str, Mapping[str, int]]) -> None:
        super().__init__((), lineage)
        self._c, self._workshop = c, workshop

    def _sealed(self, by: str, bench: str, until: int) -> int:
        known = self._c.exec_driver_sql(_FURTHEST, (by, bench, until, self._workshop)).scalar()
        return int(known or 0)


_FURTHEST = "SELECT seq FROM seal WHERE by = ? AND bench = ? AND at <= ? AND workshop IN ('', ?) ORDER BY at DESC LIMIT 1"


def _makers(c: Connection, batches: Collection[str] | None) -> dict[str, set[str]]:
    """By batch the benches that began one of that name."""
    found: dict[str, set[str]] = {}
    query = select(FACT.c.subject, FACT.c.bench).where(FACT.c.kind == "MakeStarted")
    for batch, bench in c.execute(query if batches is None else query.where(FACT.c.subject.in_(batches))):
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
    c: Connection,
    names: OriginNames,
    members: Mapping[str, MemberBench],
    own: str,
    asked: Collection[str] | None,
) -> dict[tuple[str, str], tuple[str, int, int]]:
    """What is called otherwise here, and whose numbers would meet those of the bench that made the batch: what others wrote about it, and
    what a bench that was replaced still wrote."""
    found = {key: (called, 0, 0) for key, called in names.otherwise(own).items()}
    parts = select(PART_OF) if asked is None else select(PART_OF).where(PART_OF.c.batch.in_(asked))
    for bench, batch in c.execute(parts):
        # whoever goes on with a bench goes on with what it wrote of others' batches
        for one in (bench, *(heir for heir in members if bench in replaced_by(heir, members))):
            found[one, batch] = (names.here(one, batch, own), _more(members[one]), 0)
    if asked is not None:
        return found
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


def _seals(c: Connection, here: str) -> Iterator[tuple[ChainPlace, ChainPlace]]:
    """Those that were written in this workshop: another's benches may be called alike."""
    for row in c.execute(select(SEAL).where(SEAL.c.workshop.in_(("", here)))):
        yield ChainPlace(row.by, row.at), ChainPlace(row.bench, row.seq)


def _drawn(c: Connection, lots: Collection[str] | None) -> Drawn:
    every = select(DRAWN.c.bench, DRAWN.c.lot, func.sum(DRAWN.c.amount)).group_by(DRAWN.c.lot, DRAWN.c.bench)
    asked = every if lots is None else every.where(DRAWN.c.lot.in_(lots))
    totals = {(bench, lot): float(amount) for bench, lot, amount in c.execute(asked)}

    def drawn(bench: str, lot: str, behind: int) -> float:
        if not behind or (bench, lot) not in totals:
            return totals.get((bench, lot), 0.0)
        amount = select(func.sum(DRAWN.c.amount)).where(DRAWN.c.lot == lot, DRAWN.c.bench == bench)
        return float(c.execute(amount.where(DRAWN.c.seq > behind)).scalar() or 0.0)

    return drawn


def blocked(lot: Lot, by: str) -> str:
    """That a lot may not be used, by whom and why."""
    why = f" ({lot.why})" if lot.why else ""
    return tr(
        "Lot {lot} of {name} was {state} on the bench {blocked_by}{why}.",
        lot=lot.lot,
        name=lot.name,
        state=lot.state,
        blocked_by=by,
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
