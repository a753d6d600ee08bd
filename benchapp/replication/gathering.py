"""What of all chains the workshop's questions need, kept in the file of the others and brought up to date as they grow: facts
about lots, people and decisions, what was drawn from which lot, and the seals."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from typing import Any

from sqlalchemy import Connection, delete, func, select

from benchapp.record.journal import Journal
from benchapp.record.sqlite import scratch
from benchapp.record.tables import EVENT, INDEXES
from benchapp.replication.all_indexes import (
    NUMBERS,
    PART_OF,
    PLACES,
    heir_with,
    keep_projection,
    parts_written,
    rank,
)
from benchapp.replication.batch_projection import BatchProjection, projection_of
from benchapp.replication.gathered_rows import (
    GatheredRow,
    Segment,
    cursor_of,
    is_projected,
    keep_draws,
    keep_rows,
    whose,
)
from benchapp.replication.gathered_tables import BATCH_DIRTY, DIRTY, EVERYTHING, GATHERED, NO_END, OWN, WANTED
from benchapp.replication.member import MemberBench, replaced_by
from benchapp.replication.merging import ChainPlace
from benchapp.replication.others import MEMBER, RECEIVED, OthersFile

#: Rows looked at in one transaction; and where somebody may wait for it.
PART, SMALL_PART = 5000, 500


class Gathering:
    """Brings FACT, DRAWN and SEAL up to date with every chain that is here. Raises RecordError."""

    def __init__(self, journal: Journal, others: OthersFile, own: str) -> None:
        self._journal, self._others, self.own = journal, others, own

    def catch_up(self, patience_s: float) -> tuple[tuple[str, int], ...]:
        """Look at what came since, for about so long: of each chain how many events are kept now, by this window or another. As long as
        that is the same, so is everything that follows from it."""
        members, began_s = self._others.members(), time.monotonic()
        if self.own in members:
            for chain in (OWN, *self._grown()):
                while self._part(chain, members, PART if patience_s == math.inf else SMALL_PART):
                    if time.monotonic() - began_s >= patience_s:
                        return self._kept()
        return self._kept()

    def waiting(self) -> bool:
        """Whether there is more that was not looked at."""
        with self._others.reading() as c:
            done, _ = cursor_of(c, OWN)
        return self.own in self._others.members() and (self._newest(OWN) > done or bool(self._grown()))

    def _kept(self) -> tuple[tuple[str, int], ...]:
        with self._others.reading() as c:
            rows = c.execute(select(GATHERED.c.chain, GATHERED.c.kept).order_by(GATHERED.c.chain))
            return tuple((chain, kept) for chain, kept in rows)

    def _grown(self) -> list[str]:
        """The other chains of which more is here than was looked at, by one question for all; one that goes on with another once all of
        that is here, or what it says of it would be lost."""
        newest = select(func.max(RECEIVED.c.seq)).where(RECEIVED.c.bench == MEMBER.c.bench).scalar_subquery()
        done = select(GATHERED.c.seq).where(GATHERED.c.chain == MEMBER.c.bench).scalar_subquery()
        grown = select(MEMBER.c.bench).where(MEMBER.c.bench != self.own, newest > func.coalesce(done, 0))
        with self._others.reading() as c:  # what a bench goes on with comes before it
            chains = list(c.execute(grown.order_by(MEMBER.c.first, MEMBER.c.bench)).scalars())
        return [chain for chain in chains if self._follows(chain)]

    def _follows(self, chain: str) -> bool:
        members = self._others.members()
        before = members.get(members[chain].replaces)
        if before is None or before.bench in self._others.refused():
            return True
        whole = self._others.known(before, self.own).seq >= members[chain].first - 1
        return whole and self._follows(before.bench)

    def _part(self, chain: str, members: Mapping[str, MemberBench], most: int) -> bool:
        """The next events of a chain, at most so many; whether there were any."""
        with self._others.reading() as c:
            done, kept = cursor_of(c, chain)
        newest = self._newest(chain)
        if newest <= done:
            return False
        segments = self._segments(chain, members)
        rows = list(self._rows(chain, (done, newest), segments, most))
        until = rows[-1].place.seq if len(rows) == most else newest
        parts = parts_written(self._first_of_batches(chain, (done, until)))
        batches = sorted({row.batch for row in rows if is_projected(row)})
        found, heirs = self._projected(chain, batches, members), self._gone_on(chain, batches, members)
        with self._others.writing() as c:
            if cursor_of(c, chain) != (done, kept):
                return True  # another window was quicker
            dirty = keep_rows(c, rows, members)
            for batch, one in found.items():
                if batch in heirs:
                    dirty |= self._keep_late(c, chain, batch, one, heirs[batch], members)
                else:
                    dirty |= keep_draws(c, batch, one, segments)
                    keep_projection(c, chain or self.own, batch, one, members)
            dirty |= {(BATCH_DIRTY, batch) for batch in (*found, *(part["batch"] for part in parts))}
            if any(chain in replaced_by(heir, members) for heir in members):
                dirty.add(EVERYTHING)  # it still sends, and its batches are gone on with
            if dirty:
                c.execute(
                    DIRTY.insert(), [{"kind": kind, "subject": subject} for kind, subject in sorted(dirty)]
                )
            if parts:
                c.execute(PART_OF.insert().prefix_with("OR IGNORE"), parts)
            c.execute(delete(GATHERED).where(GATHERED.c.chain == chain))
            c.execute(
                GATHERED.insert(), {"chain": chain, "seq": until, "kept": kept + len(rows) + len(parts)}
            )
        return True

    def _keep_late(
        self, c: Connection, chain: str, batch: str, one: BatchProjection,
        heir_has: tuple[str, BatchProjection], members: Mapping[str, MemberBench],
    ) -> set[tuple[str, str]]:  # fmt: skip
        """A batch that another chain goes on with: what was sent late is of this one; all else the heir's rows say, that too. What has
        to be worked out anew since."""
        heir, both = heir_has
        ended = replaced_by(heir or self.own, members)[chain].seq
        dirty = keep_draws(c, batch, one, [Segment(chain, ended + 1, NO_END)])
        dirty |= keep_draws(c, batch, both, self._segments(heir, members))
        keep_projection(c, heir or self.own, batch, both, members)
        return dirty

    def _newest(self, chain: str) -> int:
        if chain == OWN:
            with self._journal.reading() as c:
                return int(c.execute(select(func.max(EVENT.c.seq))).scalar() or 0)
        head = self._others.head(chain)
        return head.seq if head else 0

    def _rows(
        self, chain: str, between: tuple[int, int], segments: Sequence[Segment], most: int
    ) -> Iterator[GatheredRow]:
        table = EVENT if chain == OWN else RECEIVED
        query = select(table.c.seq, table.c.batch, table.c.n, table.c.kind, table.c.text).where(
            table.c.seq > between[0], table.c.seq <= between[1], table.c.kind.in_(WANTED)
        )
        if chain != OWN:
            query = query.where(RECEIVED.c.bench == chain)
        with self._journal.reading() if chain == OWN else self._others.reading() as c:
            for row in c.execute(query.order_by(table.c.seq).limit(most)):
                yield GatheredRow(ChainPlace(whose(row.seq, segments), row.seq), *row[1:])

    def _first_of_batches(self, chain: str, between: tuple[int, int]) -> list[tuple[str, str, str]]:
        """The bench, the batch and the kind of every event that is a chain's first of its batch."""
        table = EVENT if chain == OWN else RECEIVED
        query = select(table.c.batch, table.c.kind).where(
            table.c.seq > between[0], table.c.seq <= between[1], table.c.n == 1
        )
        if chain != OWN:
            query = query.where(RECEIVED.c.bench == chain)
        with self._journal.reading() if chain == OWN else self._others.reading() as c:
            return [(chain or self.own, row.batch, row.kind) for row in c.execute(query)]

    def _segments(self, chain: str, members: Mapping[str, MemberBench]) -> list[Segment]:
        """Whose events the places of a chain are: before its own stand those of the benches it replaces. What one of them that the own
        journal goes on with sent later comes as theirs."""
        if (inherited := replaced_by(self.own, members).get(chain)) is not None:
            return [Segment(chain, inherited.seq + 1, NO_END)]
        found, last, bench = list[Segment](), NO_END, chain or self.own
        while bench:
            found.append(Segment(bench, members[bench].first, last))
            last, bench = members[bench].first - 1, members[bench].replaces
        return found

    # --- batches -------------------------------------------------------------------------------------

    def _projected(
        self, chain: str, batches: Sequence[str], members: Mapping[str, MemberBench]
    ) -> dict[str, BatchProjection]:
        """By batch what the indexes say of it and every amount that was drawn from a lot, at its place; a whole batch at a time, as what
        was in hand and what was taken back hangs on what came before."""
        found: dict[str, BatchProjection] = {}
        if not batches:
            return found
        with scratch() as into, self._chain(chain, members) as c:
            INDEXES.create_all(into)
            for batch in batches:
                late = self._late(chain, batch, members)
                found[batch] = _with_late(batch, c, late, into) if late else projection_of(batch, c, into)
        return found

    def _late(self, chain: str, batch: str, members: Mapping[str, MemberBench]) -> list[dict[str, Any]]:
        """What benches that this chain goes on with sent of a batch when it had gone on already, under numbers and places of their own."""
        found = list[dict[str, Any]]()
        with self._others.reading() as c:
            for old, head in replaced_by(chain or self.own, members).items():
                more = rank(members[old].short)
                sent = select(*(RECEIVED.c[column.name] for column in EVENT.columns)).where(
                    RECEIVED.c.bench == old, RECEIVED.c.seq > head.seq, RECEIVED.c.batch == batch
                )
                for row in c.execute(sent):
                    found.append(
                        {**row._mapping, "seq": row.seq + more * PLACES, "n": row.n + more * NUMBERS}
                    )
        return found

    def _gone_on(
        self, chain: str, batches: Sequence[str], members: Mapping[str, MemberBench]
    ) -> dict[str, tuple[str, BatchProjection]]:
        """By batch the chain that goes on with this one and has the batch too, and what that one says of it."""
        found = dict[str, tuple[str, BatchProjection]]()
        for batch in batches:
            with self._others.reading() as c:
                heir = heir_with(c, chain or self.own, batch, members)
            if heir:
                other = OWN if heir == self.own else heir
                found[batch] = (other, self._projected(other, [batch], members)[batch])
        return found

    def _chain(self, chain: str, members: Mapping[str, MemberBench]) -> AbstractContextManager[Connection]:
        """A connection on which EVENT is that chain, from its beginning."""
        if chain == OWN:
            return self._journal.reading()
        cut = {old: head.seq for old, head in replaced_by(chain, members).items()}
        return self._others.reading_as_event(chain, cut)


def _with_late(
    batch: str, c: Connection, late: Sequence[Mapping[str, Any]], into: Connection
) -> BatchProjection:
    """A batch of the chain of ``c`` with what was sent late of it; amounts at the places of that chain alone."""
    with scratch() as whole:
        EVENT.create(whole)
        here = c.execute(select(EVENT).where(EVENT.c.batch == batch))
        whole.execute(EVENT.insert(), [*({**row._mapping} for row in here), *late])
        found = projection_of(batch, whole, into)
    at = found.unreadable_at
    return found._replace(
        drawn=[one for one in found.drawn if one[0] < PLACES], unreadable_at=at if at < PLACES else 0
    )
