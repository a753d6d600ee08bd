"""What happened on two benches at once and should have been known on both: somebody signed who was retired elsewhere meanwhile, and a
procedure was changed or withdrawn while a batch was made by it. Each is said until somebody who knew of both has decided about it."""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Select, select

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.replication.gathered_rows import facts_of
from benchapp.replication.gathered_tables import FACT
from benchapp.replication.merging import ChainFact, ChainPlace, Knowledge

#: What a person puts their name to, and the field it stands in (see gathering.SUBJECT).
SIGNATURES = ("Signed", "DeviationClosed", "CheckRecorded")

Change = ev.MasterApproved | ev.MasterWithdrawn
Decisions = Mapping[str, Sequence[ChainFact[Any]]]
#: What a batch is called here, by the bench that writes of it and its name there.
Called = Callable[[str, str], str]


@dataclass(frozen=True, slots=True)
class Signature:
    """What somebody put their name to: where it stands, who, and what it is about ("" no batch)."""

    place: ChainPlace
    who: str
    batch: str


@dataclass(frozen=True, slots=True)
class Making:
    """A batch made by a ``version`` of a procedure, from where it was begun to where it ended (None: not yet)."""

    batch: str
    procedure: str
    version: int
    begun: ChainPlace
    ended: ChainPlace | None


def knew(knowledge: Knowledge, place: ChainPlace, other: ChainPlace) -> bool:
    """Whether what stands at ``other`` was known where ``place`` was written."""
    return other.seq <= knowledge.of(place, other.bench)


def settled(
    decisions: Iterable[ChainFact[Any]], knowledge: Knowledge, both: tuple[ChainPlace, ChainPlace]
) -> bool:
    """Whether somebody decided who knew of both."""
    return any(all(knew(knowledge, one.place, place) for place in both) for one in decisions)


def signed_unknowing(
    signatures: Iterable[Signature], retired: Iterable[ChainFact[ev.PersonRetired]], knowledge: Knowledge
) -> list[tuple[Signature, ChainFact[ev.PersonRetired]]]:
    """Signatures of people who were retired meanwhile, neither knowing of the other; each with its retirement."""
    by_name: dict[str, list[ChainFact[ev.PersonRetired]]] = {}
    for fact in retired:
        by_name.setdefault(fact.event.who, []).append(fact)
    return [
        (one, fact)
        for one in signatures
        for fact in by_name.get(one.who, ())
        if not knew(knowledge, one.place, fact.place) and not knew(knowledge, fact.place, one.place)
    ]


def changed_unknowing(
    makings: Iterable[Making], changes: Iterable[ChainFact[Change]], knowledge: Knowledge
) -> list[tuple[Making, ChainFact[Change]]]:
    """Batches whose procedure was changed elsewhere between their beginning and their end, as far as either knew."""
    found = []
    for one in makings:
        for fact in changes:
            change = fact.event
            if change.procedure != one.procedure or not _concerns(change, one.version):
                continue
            before = knew(knowledge, one.begun, fact.place)
            after = one.ended is not None and knew(knowledge, fact.place, one.ended)
            if not before and not after:
                found.append((one, fact))
    return found


def _concerns(change: Change, version: int) -> bool:
    """A newer version than the one it is made by, or that one withdrawn."""
    if isinstance(change, ev.MasterWithdrawn):
        return change.version == version
    return change.version > version


def approved_twice(changes: Iterable[ChainFact[Change]]) -> list[list[ChainFact[ev.MasterApproved]]]:
    """Approvals of different texts under one number: neither knew of the other, and neither counts until there is a next."""
    by_version: dict[tuple[str, int], list[ChainFact[ev.MasterApproved]]] = {}
    newest: dict[str, int] = {}
    for fact in changes:
        e = fact.event
        if isinstance(e, ev.MasterApproved):
            by_version.setdefault((e.procedure, e.version), []).append(ChainFact(fact.place, e, fact.wall))
            newest[e.procedure] = max(newest.get(e.procedure, 0), e.version)
    return [
        sorted(found, key=lambda fact: fact.place)
        for (procedure, version), found in sorted(by_version.items())
        if version == newest[procedure] and len({fact.event.sha256 for fact in found}) > 1
    ]


# --- from what was gathered ----------------------------------------------------------------------------


def doubted_in(c: Connection, decisions: Decisions, knowledge: Knowledge) -> frozenset[ChainPlace]:
    """Where decisions stand that nobody may go by, as who decided was retired elsewhere."""
    decided = [Signature(f.place, f.event.by, batch) for batch, found in decisions.items() for f in found]
    facts, _ = facts_of(c, "PersonRetired", subjects={one.who for one in decided})
    retired = [fact for found in facts.values() for fact in found]
    return frozenset(one.place for one, _ in signed_unknowing(decided, retired, knowledge))


def overlaps_in(
    c: Connection, decisions: Decisions, knowledge: Knowledge, batches: Collection[str] | None, called: Called
) -> tuple[tuple[str, str], ...]:
    """Everything that was gathered held against itself, or what concerns these ``batches`` alone: the batch each is about, "" none, and a
    sentence. ``decisions`` by what their batches are ``called`` here."""
    facts, _ = facts_of(c, "PersonRetired")
    retired = [fact for found in facts.values() for fact in found]
    changes = _changes(c)
    signed = _signatures(c, facts.keys(), batches, called)
    if batches is None:
        signed += [Signature(f.place, f.event.by, "") for f in changes]
    makings = _makings(c, {fact.event.procedure for fact in changes}, batches, called)
    sentences = [
        (one.batch, _signed_sentence(one, fact))
        for one, fact in signed_unknowing(signed, retired, knowledge)
        if not settled(_by_others(decisions, one, changes), knowledge, (one.place, fact.place))
    ]
    sentences += [
        (one.batch, _changed_sentence(one, fact))
        for one, fact in changed_unknowing(makings, changes, knowledge)
        if not settled(decisions.get(one.batch, ()), knowledge, (one.begun, fact.place))
    ]
    if batches is None:
        sentences += [("", _twice_sentence(found)) for found in approved_twice(changes)]
    return tuple(sorted(set(sentences)))


def _by_others(
    decisions: Decisions, one: Signature, changes: Sequence[ChainFact[Change]]
) -> Iterator[ChainFact[Any]]:
    """What may settle it: decisions of others about the batch, or changes of procedures where it was about none."""
    for fact in decisions.get(one.batch, ()) if one.batch else changes:
        if fact.event.by != one.who:
            yield fact


def _signatures(
    c: Connection, people: Iterable[str], batches: Collection[str] | None, called: Called
) -> list[Signature]:
    query = select(FACT.c.bench, FACT.c.seq, FACT.c.subject, FACT.c.batch).where(
        FACT.c.kind.in_(SIGNATURES), FACT.c.subject.in_(sorted(people))
    )
    found = c.execute(_about(query, batches)).all()
    return [Signature(ChainPlace(bench, seq), who, called(bench, batch)) for bench, seq, who, batch in found]


def _about(query: Select[Any], batches: Collection[str] | None) -> Select[Any]:
    return query if batches is None else query.where(FACT.c.batch.in_(batches))


def _changes(c: Connection) -> list[ChainFact[Change]]:
    facts, _ = facts_of(c, "MasterApproved", "MasterWithdrawn")
    return [fact for found in facts.values() for fact in found]


def _makings(
    c: Connection, procedures: set[str], batches: Collection[str] | None, called: Called
) -> list[Making]:
    """Batches made by an approved version of one of these."""
    ends: dict[tuple[str, str], int] = {}
    ended = select(FACT.c.bench, FACT.c.subject, FACT.c.seq).where(
        FACT.c.kind.in_(("MakeFinished", "MakeAbandoned"))
    )
    for bench, batch, seq in c.execute(_about(ended, batches)):
        ends[bench, batch] = seq
    begun = select(FACT.c.bench, FACT.c.seq, FACT.c.subject, FACT.c.text).where(FACT.c.kind == "MakeStarted")
    found = []
    for bench, seq, batch, text in c.execute(_about(begun, batches)) if procedures else ():
        said = json.loads(text)
        if said["procedure"] in procedures and said["version"]:
            end = ends.get((bench, batch))
            at = None if end is None else ChainPlace(bench, end)
            name = called(bench, batch)
            found.append(Making(name, said["procedure"], said["version"], ChainPlace(bench, seq), at))
    return found


def _signed_sentence(one: Signature, fact: ChainFact[ev.PersonRetired]) -> str:
    if not one.batch:
        return tr(
            "{who} approved or withdrew a procedure on {bench} and was retired on {other}, neither knowing of the other: a releaser approves or "
            "withdraws it again.",
            who=one.who, bench=one.place.bench, other=fact.place.bench,
        )  # fmt: skip
    return tr(
        "{who} signed in {batch} on {bench} and was retired on {other}, neither knowing of the other: a releaser decides about the batch.",
        who=one.who, batch=one.batch, bench=one.place.bench, other=fact.place.bench,
    )  # fmt: skip


def _changed_sentence(one: Making, fact: ChainFact[Change]) -> str:
    if isinstance(fact.event, ev.MasterWithdrawn):
        return tr(
            "{batch} was made on {bench} by version {version} of {procedure} while that was withdrawn on {other} ({reason}): who decides "
            "about it looks at why.",
            batch=one.batch, bench=one.begun.bench, version=one.version, procedure=one.procedure, other=fact.place.bench,
            reason=fact.event.reason,
        )  # fmt: skip
    return tr(
        "{batch} was made on {bench} by version {version} of {procedure} while version {newer} was approved on {other}: it keeps its own, and "
        "who decides about it looks at what changed.",
        batch=one.batch, bench=one.begun.bench, version=one.version, procedure=one.procedure, newer=fact.event.version,
        other=fact.place.bench,
    )  # fmt: skip


def _twice_sentence(found: Sequence[ChainFact[ev.MasterApproved]]) -> str:
    first = found[0].event
    return tr(
        "Version {version} of {procedure} was approved on {names} at once, in different words: neither counts until the next is approved.",
        version=first.version, procedure=first.procedure, names=", ".join(fact.place.bench for fact in found),
    )  # fmt: skip
