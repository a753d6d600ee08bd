"""What all benches together know, as the desk and a make ask it. Answers come from this machine alone."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import replace

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.record.elsewhere import BenchElsewhere, PersonElsewhere
from benchapp.record.errors import RecordError
from benchapp.record.journal import Journal
from benchapp.record.lots import NOTHING, Lot
from benchapp.record.stored_event import StoredEvent
from benchapp.replication.all_chains import AllChains
from benchapp.replication.all_indexes import (
    PLACES,
    keep_decisions,
    keep_lots,
    keep_names,
    keep_places,
    rank,
    unfinished_and_waiting,
)
from benchapp.replication.gathering import Gathering
from benchapp.replication.member import MemberBench, replaced_by
from benchapp.replication.merging import ChainPlace
from benchapp.replication.others import OthersFile
from benchapp.replication.picture import Picture, blocked, picture_of
from benchapp.replication.seals import Sealer


class OutOfReach:
    """What the other benches know, where their file cannot be opened: nothing, and no batch leaves meanwhile."""

    def __init__(self, why: str) -> None:
        self._why = why
        self.blocked: Mapping[str, str] = {}

    def lots(self, own: Mapping[str, Lot]) -> Mapping[str, Lot]:
        """The own ones."""
        return own

    def knows(self, lot: str) -> bool:
        """Not known."""
        return False

    def people(self) -> Mapping[str, PersonElsewhere]:
        """Nobody."""
        return {}

    def against(self, batch: str, lots: frozenset[str]) -> tuple[str, ...]:
        """That nothing is known."""
        return (self._why,)

    def decided(self, batch: str) -> tuple[ev.BatchDecided, ...] | None:
        """Nobody knows."""
        return None

    def benches(self) -> tuple[BenchElsewhere, ...]:
        """None is known."""
        return ()

    def seal(self) -> None:
        """Nothing is known that could be written down."""

    def conflicts(self) -> tuple[str, ...]:
        """That nothing is known."""
        return (self._why,)


class Together:
    """The answers for one bench. What another thread is just working out is answered as it stood before; where the file
    cannot be read, as on a bench alone, and ``conflicts`` says so."""

    def __init__(self, journal: Journal, others: OthersFile, own: str) -> None:
        self._journal, self._others, self._own = journal, others, own
        self._gathering = Gathering(journal, others, own)
        self._picture, self._trouble = Picture(), ""
        self._drawn_of: tuple[object, ...] = ()
        self._busy = threading.Lock()
        self.blocked: Mapping[str, str] = {}
        self._benches: dict[int, str] = {}  # by their rank
        self._chains: AllChains | None = None

    def close(self) -> None:
        """Let go of the files."""
        if self._chains is not None:
            self._chains.close()

    def everywhere(self) -> Journal:
        """The journal as all benches wrote it; the own one as long as nothing is known of any."""
        self._now()
        if self._trouble or self._own not in self._benches.values():
            return self._journal
        if self._chains is None:
            self._chains = AllChains(self._journal, self._others, self.look, self._ordered)
        return self._chains

    def _ordered(self, found: list[StoredEvent]) -> list[StoredEvent]:
        if len({s.seq // PLACES for s in found}) < 2:
            return found
        knowledge, benches = self._picture.knowledge, self._benches
        return sorted(
            found, key=lambda s: knowledge.order(ChainPlace(benches[s.seq // PLACES], s.seq % PLACES))
        )

    # --- asked by the record (record.elsewhere.Elsewhere) --------------------------------------------

    def lots(self, own: Mapping[str, Lot]) -> Mapping[str, Lot]:
        """Every lot anybody received, as all benches know it; ``own`` says when this bench used it last."""
        picture = self._now()
        found = dict(own)
        for name, one in picture.lots.items():
            known, lot = own.get(name), replace(one.lot, lot=name)
            if known is not None:
                found[name] = replace(lot, used_at=known.used_at, counted_at=known.counted_at)
            elif lot.state != "used up" and (lot.on_tap or lot.left >= NOTHING):
                found[name] = lot
        return found

    def knows(self, lot: str) -> bool:
        """Whether anybody ever received a lot of that name."""
        return lot in self._now().lots

    def people(self) -> Mapping[str, PersonElsewhere]:
        """Everybody anybody enrolled."""
        return self._now().people

    def against(self, batch: str, lots: frozenset[str]) -> tuple[str, ...]:
        """Why a batch of this bench, made with these lots, may not leave: decided otherwise elsewhere, made with what another
        bench has blocked, or not everything of a bench that wrote about it is here."""
        picture = self._now(wait=True)
        out = [self._trouble] if self._trouble else []
        out += [self.blocked[lot] for lot in sorted(lots) if lot in self.blocked]
        merged = picture.decisions.get(batch)
        decided = merged.holds if merged is not None else None
        if decided is not None and decided.place.bench != self._own and decided.event.decision == "rejected":
            out.append(
                tr(
                    "On the bench {bench} it was decided: {decision} ({reason}).",
                    bench=decided.place.bench,
                    decision=decided.event.decision,
                    reason=decided.event.reason,
                )
            )
        about = frozenset[str]().union(*(picture.writers.get(name, frozenset()) for name in (batch, *lots)))
        return (*out, *self._behind(about - {self._own}))

    def _behind(self, benches: frozenset[str]) -> tuple[str, ...]:
        """The benches among these of which more was said to be than is here."""
        found, refused, members = [], self._others.refused(), self._others.members()
        for bench in sorted(benches):
            lacking = self._lacking(members[bench]) if bench in members else 0
            if bench in refused:
                found.append(
                    tr(
                        "What the bench {bench} wrote is not to be trusted: {refused}",
                        bench=bench,
                        refused=refused[bench][1],
                    )
                )
            elif lacking > 0:
                found.append(
                    tr(
                        "{lacking} events of the bench {bench}, which wrote about it, are not here yet.",
                        lacking=lacking,
                        bench=bench,
                    )
                )
        return tuple(found)

    def _lacking(self, member: MemberBench) -> int:
        """How many events of a bench it has said there are and that are not here."""
        head = self._others.head(member.bench)
        return member.announced - (head.seq if head else member.first - 1)

    def benches(self) -> tuple[BenchElsewhere, ...]:
        """Every bench, by its name."""
        self._now()
        refused, members = self._others.refused(), self._others.members()
        heirs = {old: bench for bench in members for old in replaced_by(bench, members)}
        with self._others.reading() as c:
            unfinished, waiting = unfinished_and_waiting(c, heirs)
        return tuple(
            BenchElsewhere(
                bench, member.short, bench == self._own, member.heard,
                0 if bench == self._own else max(self._lacking(member), 0), refused.get(bench, ("", ""))[1],
                unfinished.get(bench, ()), waiting.get(bench, ()),
            )
            for bench, member in members.items()
            if bench not in heirs
        )  # fmt: skip

    def decided(self, batch: str) -> tuple[ev.BatchDecided, ...] | None:
        """What counts, that which holds last, as of the last look: whoever asks of batches looked when it began to (everywhere)."""
        found = self._picture.decisions.get(batch)
        return found.counted if found is not None else None

    def seal(self) -> None:
        """Write down how far the others had come, so that what is decided next is known to have known of it."""
        Sealer(self._journal, self._others).seal()

    def conflicts(self) -> tuple[str, ...]:
        """What benches did at once that does not go together, a sentence each."""
        picture = self._now()
        return (*((self._trouble,) if self._trouble else ()), *picture.conflicts)

    # --- worked out ----------------------------------------------------------------------------------

    def look(self) -> None:
        """Work everything out anew where something came; from any thread."""
        with self._busy:
            self._look()

    def _now(self, wait: bool = False) -> Picture:
        if self._busy.acquire(blocking=wait):
            try:
                self._look()
            finally:
                self._busy.release()
        return self._picture

    def _look(self) -> None:
        try:
            members = self._others.members()
            gathered = (self._gathering.catch_up(), *((m.bench, m.short, m.first) for m in members.values()))
            if gathered != self._drawn_of:
                with self._others.reading() as c:
                    self._picture = picture_of(c, members, self._gathering.lineage(members), self._own)
                if self._own in members:
                    self._keep(members)
                self.blocked = {
                    name: blocked(one)
                    for name, one in self._picture.lots.items()
                    if one.blocked_by not in ("", self._own)
                }
                self._drawn_of = gathered
            self._trouble = ""
        except RecordError as error:
            self._trouble = tr("What the other benches know is not at hand: {error}", error=error)

    def _keep(self, members: Mapping[str, MemberBench]) -> None:
        """Write into the indexes over all chains what only all of them together say."""
        picture = self._picture
        with self._others.writing() as c:
            keep_places(c, members, self._own)
            keep_names(c, picture.named, picture.named_lots)
            keep_decisions(c, {batch: one.decision for batch, one in picture.decisions.items()})
            keep_lots(c, {name: one.lot for name, one in picture.lots.items()})
        self._benches = {rank(member.short): bench for bench, member in members.items()}
