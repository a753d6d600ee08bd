"""The workshop's shell: what is known of lots, people and batches, read from the journal and written to it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from sqlalchemy import select

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.record.batch_line import BatchLine
from benchapp.record.errors import NotAllowed, Unspecified, no_batch
from benchapp.record.facts import ProcedureFacts, ReleaseFacts
from benchapp.record.journal import Journal
from benchapp.record.lot_index import lot_of_row
from benchapp.record.lots import LotBook
from benchapp.record.people import People, people_in
from benchapp.record.release import DueCheck, ReleaseStanding, checks_of, standing_of
from benchapp.record.stored_event import StoredEvent
from benchapp.record.tables import LOT, USE

#: Empty lots are in the book as far back as this many, so that an old code can still be told.
EMPTY_KEPT = 500
#: What release.standing_of looks at: what happened in a make as far as it can be corrected, and what came after.
AFTER_THE_MAKE = (
    ev.MakeStarted, ev.MakeFinished, ev.MakeAbandoned, ev.DeviationNoted, ev.DeviationClosed, ev.CheckRecorded,
    ev.SampleRetained, ev.BatchDecided, ev.BottleFilled, ev.Corrected, ev.ActBegan, ev.ActTakenBack, ev.LotTaken,
    ev.WeightTaken, ev.LateDropFound, ev.MaterialRemoved, ev.TrialDosed, ev.PhTaken, ev.NumberTaken, ev.SampleTaken,
    ev.MassMoved, ev.WaterLost,
)  # fmt: skip
#: What of it says which release checks are open.
CHECKED = (ev.MakeStarted, ev.MakeFinished, ev.MakeAbandoned, ev.CheckRecorded, ev.BatchDecided)
#: What is decided by what is known, of the other benches too.
KNOWINGLY = (
    ev.LotJudged, ev.LotCounted, ev.BatchDecided, ev.PersonEnrolled, ev.PersonRetired, ev.PinChanged, ev.CheckRecorded,
    ev.DeviationClosed, ev.Dispatched, ev.MasterApproved, ev.MasterWithdrawn,
)  # fmt: skip
#: What may be written about a batch on another bench than the one it was made on: everything else needs the batch at hand.
ANYWHERE = (
    ev.BatchDecided, ev.Signed, ev.CheckRecorded, ev.DeviationClosed, ev.SampleRetained, ev.ComplaintReceived,
    ev.ComplaintAnswered,
)  # fmt: skip

#: The facts of the procedure a make was begun with. Raises Unspecified where its text cannot be read.
FactsOf = Callable[[ev.MakeStarted], ProcedureFacts]


class Workshop:
    """One journal, asked and added to as the workshop speaks.

    ``facts`` gives those of a make's procedure from its first event; the record itself reads no procedures; it raises
    Unspecified where it cannot. Every method raises RecordError; what may not be written is refused with NotAllowed.
    """

    def __init__(self, journal: Journal, facts: FactsOf = lambda _: ProcedureFacts()) -> None:
        self.journal = journal
        self._facts = facts

    # --- what is known -------------------------------------------------------------------------------

    def lots(self) -> LotBook:
        """The book of lots as it stands: all that have something in them, and the last of those that have not; those of
        the other benches too."""
        live = select(LOT).where(LOT.c.live)
        gone = select(LOT).where(~LOT.c.live).order_by(LOT.c.used_at.desc()).limit(EMPTY_KEPT)
        with self.journal.own.reading() as c:
            book = LotBook.of(lot_of_row(row) for query in (live, gone) for row in c.execute(query))
        return LotBook(self.journal.elsewhere.lots(book.lots))

    def people(self) -> People:
        """Everybody who was ever enrolled."""
        return people_in(self.journal)

    def standing(self, batch: str) -> ReleaseStanding:
        """How a batch stands after its make. Raises NoSuchBatch."""
        self.journal.batch(batch)
        stored = self.journal.of_kinds(AFTER_THE_MAKE, batch)
        try:
            facts = self.facts(batch)
        except Unspecified:  # names and limits are missing then; what may leave is asked of specification()
            facts = ProcedureFacts()
        standing, decided = standing_of(stored, facts), self.journal.elsewhere.decided(batch)
        return standing if decided is None else standing.decided(decided)

    def specification(self, batch: str) -> tuple[ReleaseFacts, ...]:
        """The release specification of the procedure as it stood when the batch was made. Raises Unspecified."""
        return self.facts(batch).release

    def facts(self, batch: str) -> ProcedureFacts:
        """The facts of the procedure as it stood when the batch was made. Raises NoSuchBatch and Unspecified."""
        first = self.journal.at(batch, 1)
        if first is None:
            raise no_batch(batch)
        return self._facts_of(first)

    def _facts_of(self, first: StoredEvent) -> ProcedureFacts:
        if not isinstance(first.event, ev.MakeStarted):
            raise no_batch(first.batch)
        return self._facts(first.event)

    def checks(self, batch: str) -> tuple[DueCheck, ...]:
        """Every release check of a batch as it stands now."""
        return checks_of(self.standing(batch), self.specification(batch), self.journal.wall())

    def due(self) -> tuple[DueCheck, ...]:
        """All open checks of finished batches nobody has decided about, what has been due longest first. A batch
        whose specification cannot be read is in it with that as its one check."""
        lines = self.journal.waiting()
        written = self.journal.of_batches(CHECKED, [line.batch for line in lines])
        found = [c for line in lines for c in self._due_of(line, written[line.batch])]
        return tuple(sorted((c for c in found if c.state in ("waiting", "due")), key=lambda c: c.due))

    def _due_of(self, line: BatchLine, written: Sequence[StoredEvent]) -> tuple[DueCheck, ...]:
        try:
            return checks_of(
                standing_of(written),
                self._facts_of(min(written, key=lambda s: s.n)).release,
                self.journal.wall(),
            )
        except Unspecified as error:
            return (
                DueCheck(
                    line.batch, ReleaseFacts(tr("release specification"), str(error), 0.0), line.ended, "due"
                ),
            )

    # --- what is written -----------------------------------------------------------------------------

    def add(self, *events: ev.Event) -> None:
        """Write what belongs to no batch."""
        self._seal(events)
        self.journal.append(ev.WORKSHOP, events)

    def add_to(self, batch: str, *events: ev.Event) -> None:
        """Write what belongs to a batch, at the make's last moment."""
        last = self.journal.last(batch)
        if last is None:
            raise no_batch(batch)
        if not all(isinstance(e, ANYWHERE) for e in events) and not self._made_here(batch):
            raise NotAllowed(tr("{batch} was made on another bench: do that there.", batch=batch))
        self._seal(events)
        self.journal.append(batch, [replace(e, at_s=last.event.at_s) for e in events])

    def _made_here(self, batch: str) -> bool:
        """Whether the own journal has that batch from its beginning."""
        if not self.journal.elsewhere.shared or batch == ev.WORKSHOP:
            return True
        return self.journal.own.started(batch) is not None

    def _seal(self, events: Sequence[ev.Event]) -> None:
        """What was known of the other benches stands before what was decided knowing it."""
        if any(isinstance(e, KNOWINGLY) for e in events):
            self.journal.elsewhere.seal()

    def lots_named(self, lot: str) -> bool:
        """Whether a lot of that name was ever received."""
        with self.journal.reading() as c:
            here = c.execute(select(LOT.c.lot).where(LOT.c.lot == lot)).first() is not None
        return here or self.journal.elsewhere.knows(lot)

    def against_elsewhere(self, batch: str) -> tuple[str, ...]:
        """Why a batch may not leave by what the other benches know; nothing on a bench alone."""
        with self.journal.reading() as c:
            lots = c.execute(select(USE.c.lot).where(USE.c.batch == batch)).scalars()
            return self.journal.elsewhere.against(batch, frozenset(lots))
