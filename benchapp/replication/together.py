"""What all benches together know, as the desk and a make ask it. Answers come from this machine alone."""

from __future__ import annotations

import math
import threading
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, Row, Select, or_, select

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.record.elsewhere import BenchElsewhere, Conflict, Elsewhere, PersonElsewhere
from benchapp.record.errors import RecordError
from benchapp.record.journal import Journal
from benchapp.record.lot_index import lot_of_row
from benchapp.record.lots import Lot
from benchapp.record.stored_event import StoredEvent
from benchapp.record.tables import LOT
from benchapp.replication.all_chains import AllChains
from benchapp.replication.all_indexes import LOTS, PLACES, rank, unfinished_and_waiting
from benchapp.replication.gathering import Gathering
from benchapp.replication.member import MemberBench, replaced_by, writer_of
from benchapp.replication.merging import ChainPlace
from benchapp.replication.others import OthersFile
from benchapp.replication.picture import View, blocked
from benchapp.replication.seals import Sealer
from benchapp.replication.settling import conflicts_in, is_settled, settle

#: So long a question waits where a long history is worked out bit by bit.
PATIENCE_S = 0.2
#: Of the lots of all benches, what the book of one has too.
OF_A_LOT = tuple(LOTS.c[column.name] for column in LOT.columns)
NOT_WORKED_OUT = tr_noop(
    "What the other benches wrote is here and not all worked out yet: lots and batches of theirs may be missing, and no batch leaves "
    "meanwhile."
)


class Together(Elsewhere):
    """The answers for one bench. What another thread is just working out is answered as it stood before; where the file
    cannot be read, as on a bench alone, and ``conflicts`` says so."""

    shared = True

    def __init__(self, journal: Journal, others: OthersFile, own: str) -> None:
        self._journal, self._others, self._own = journal, others, own
        self._gathering = Gathering(journal, others, own)
        self._trouble, self._waiting, self._patience_s = "", False, math.inf
        self._drawn_of: tuple[object, ...] = ()
        self._busy = threading.Lock()
        self._people: Mapping[str, PersonElsewhere] = {}
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
        benches, members = self._benches, self._others.members()

        def place(s: StoredEvent) -> ChainPlace:
            bench, seq = benches[s.seq // PLACES], s.seq % PLACES
            return ChainPlace(writer_of(bench, seq, members), seq)

        with self._others.reading() as c:
            return View(c, members, self._own).knowledge.ordered(found, place, _late)

    # --- asked by the record (record.elsewhere.Elsewhere) --------------------------------------------

    def lots(self, own: Mapping[str, Lot]) -> Mapping[str, Lot]:
        """Every lot anybody received, as all benches know it; ``own`` says when this bench used it last."""
        self._now()
        found = dict(own)
        query = select(*OF_A_LOT).where(or_(LOTS.c.live, LOTS.c.lot.in_(own.keys())))
        for row in self._found(query):
            known, lot = own.get(row.lot), lot_of_row(row)
            if known is not None:
                lot = replace(lot, used_at=known.used_at, counted_at=known.counted_at)
            found[row.lot] = lot
        return found

    def _found(self, query: Select[Any]) -> Sequence[Row[Any]]:
        """What the file says, as it stands; nothing where it cannot be read, which ``conflicts`` says."""
        try:
            with self._others.reading() as c:
                return c.execute(query).all()
        except RecordError as error:
            self._in_trouble(error)
            return ()

    def _in_trouble(self, error: RecordError) -> None:
        self._trouble = tr("What the other benches know is not at hand: {error}", error=error)

    def knows(self, lot: str) -> bool:
        """Whether anybody ever received a lot of that name."""
        self._now()
        return bool(self._found(select(LOTS.c.lot).where(LOTS.c.lot == lot)))

    def people(self) -> Mapping[str, PersonElsewhere]:
        """Everybody anybody enrolled."""
        self._now()
        return self._people

    def against(self, batch: str, lots: frozenset[str]) -> tuple[str, ...]:
        """Why a batch of this bench, made with these lots, may not leave: decided otherwise elsewhere, made with what another
        bench has blocked, or not everything of a bench that wrote about it is here."""
        self._now(wait=True)
        if unknown := self._unknown():
            return unknown[:1]
        out = [self.blocked[lot] for lot in sorted(lots) if lot in self.blocked]
        with self._others.reading() as c:
            view = View(c, self._others.members(), self._own)
            merged, about = view.decision(batch), view.writers((batch, *lots))
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
                        "{lacking} events of the bench {bench} are not here yet.",
                        lacking=lacking,
                        bench=bench,
                    )
                )
        return tuple(found)

    def _lacking(self, member: MemberBench) -> int:
        """How many events of a bench it has said there are and that are not here."""
        return member.announced - self._others.known(member, self._own).seq

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

    def decided(self, batch: str) -> tuple[tuple[str, ev.BatchDecided], ...] | None:
        """What counts, that which holds last, as of the last look: whoever asks of batches looked when it began to (everywhere)."""
        with self._others.reading() as c:
            found = View(c, self._others.members(), self._own).decision(batch)
        return tuple((f.wall, f.event) for f in found.counted) if found is not None else None

    def seal(self) -> None:
        """Write down how far the others had come, so that what is decided next is known to have known of it."""
        if not self._waiting:  # what is not worked out is not known
            Sealer(self._journal, self._others).seal()

    def conflicts(self) -> tuple[Conflict, ...]:
        """What benches did at once that does not go together, and why not all of it is known."""
        self._now()
        found: tuple[Conflict, ...] = ()
        try:
            with self._others.reading() as c:
                found = conflicts_in(c)
        except RecordError as error:
            self._in_trouble(error)
        return (*map(Conflict, self._unknown()), *found)

    def _unknown(self) -> tuple[str, ...]:
        """Why not all that the others wrote is known."""
        return tuple(why for why in (self._trouble, tr(NOT_WORKED_OUT) if self._waiting else "") if why)

    def missing(self) -> tuple[str, ...]:
        """What of the others is not at hand, not worked out, not here yet or not to be trusted."""
        self._now(wait=True)
        if unknown := self._unknown():
            return unknown[:1]
        return self._behind(frozenset(self._others.members()) - {self._own})

    def known_until(self) -> str:
        """As the bench page says it."""
        try:
            return self._others.contact().known(self._journal.wall())
        except RecordError:
            return ""

    # --- worked out ----------------------------------------------------------------------------------

    def look(self) -> bool:
        """Work everything out anew where something came; from any thread. Whether more waits, where it is done bit by bit."""
        with self._busy:
            self._look()
        return bool(self._waiting)

    def bit_by_bit(self) -> None:
        """Somebody goes on looking: nobody has to wait until a long history is worked out."""
        self._patience_s = PATIENCE_S

    def _now(self, wait: bool = False) -> None:
        if self._busy.acquire(blocking=wait):
            try:
                self._look()
            finally:
                self._busy.release()

    def _look(self) -> None:
        try:
            members = self._others.members()
            kept = self._gathering.catch_up(self._patience_s)
            self._waiting = self._patience_s < math.inf and self._gathering.waiting()
            gathered = (kept, self._waiting, *((m.bench, m.short, m.first) for m in members.values()))
            if gathered != self._drawn_of:
                if self._own in members and not self._waiting:
                    settle(self._others, members, self._own)
                if self._own in members and is_settled(self._others):
                    self._benches = {rank(member.short): bench for bench, member in members.items()}
                with self._others.reading() as c:
                    self._people = View(c, members, self._own).people()
                    self.blocked = _blocked(c, self._own)
                self._drawn_of = gathered
            self._trouble = ""
        except RecordError as error:
            self._in_trouble(error)


def _late(s: StoredEvent) -> int:
    """A batch begins with its make; and of what benches said of it without knowing of each other the stricter is the last word."""
    if isinstance(s.event, ev.MakeStarted):
        return -1
    return int(isinstance(s.event, ev.CheckRecorded) and not s.event.passed)


def _blocked(c: Connection, own: str) -> dict[str, str]:
    """Lots that another bench has blocked, with the sentence why."""
    found = c.execute(
        select(*OF_A_LOT, LOTS.c.blocked_by).where(LOTS.c.blocked_by > "", LOTS.c.blocked_by != own)
    )
    return {row.lot: blocked(lot_of_row(row[:-1]), row.blocked_by) for row in found}
