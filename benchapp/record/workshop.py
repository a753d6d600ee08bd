"""The workshop's shell: what is known of lots, people and batches, read from the journal and written to it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from sqlalchemy import select

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_n, tr_noop, translated
from benchapp.foundation.name_likeness import look_alike
from benchapp.foundation.numbers import decimal
from benchapp.record.batch_line import BatchLine
from benchapp.record.correction_words import field_meant
from benchapp.record.corrections import as_it_stands, require_possible
from benchapp.record.deviations import Deviation
from benchapp.record.errors import NotAllowed, Unspecified, no_batch, no_lot
from benchapp.record.facts import ProcedureFacts, ReleaseFacts
from benchapp.record.journal import Journal
from benchapp.record.lot_index import lot_of_row
from benchapp.record.lots import NOTHING, LotBook
from benchapp.record.people import People, Proof, people_in
from benchapp.record.release import (
    DueCheck,
    ReleaseStanding,
    check_problem,
    checks_of,
    in_band,
    notes_on,
    standing_of,
    why_not,
)
from benchapp.record.stored_event import StoredEvent
from benchapp.record.tables import LOT, USE
from benchapp.record.tracing import ranges, sent_of

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
#: States a lot can be judged to be in.
STATES = ("usable", "quarantined", "rejected", tr_noop("used up"))

#: What a person signed for or the program noted is not corrected: it is said anew.
NEVER_CORRECTED = (
    ev.Corrected, ev.MakeStarted, ev.DeviationNoted, ev.Signed, ev.BatchDecided, ev.DeviationClosed, ev.CheckRecorded, ev.LabelApproved,
    ev.MasterApproved, ev.MasterWithdrawn,
    ev.PersonEnrolled, ev.PersonRetired, ev.PinChanged, ev.PinRefused, ev.PinProved, ev.GuardsRestored,
    ev.BenchJoined, ev.BenchLeft, ev.HeadsReceived,
)  # fmt: skip

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
        elsewhere = self.journal.elsewhere
        return book if elsewhere is None else LotBook(elsewhere.lots(book.lots))

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
        standing, elsewhere = standing_of(stored, facts), self.journal.elsewhere
        decided = elsewhere.decided(batch) if elsewhere is not None else None
        return standing if decided is None else replace(standing, decisions=decided)

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
        if self.journal.elsewhere is None or batch == ev.WORKSHOP:
            return True
        first = self.journal.own.at(batch, 1)
        return first is not None and isinstance(first.event, ev.MakeStarted)

    def _seal(self, events: Sequence[ev.Event]) -> None:
        """What was known of the other benches stands before what was decided knowing it."""
        if self.journal.elsewhere is not None and any(isinstance(e, KNOWINGLY) for e in events):
            self.journal.elsewhere.seal()

    def receive(self, lot: ev.LotReceived) -> None:
        """A delivery, under a name not used before."""
        if self.lots_named(lot.lot):
            raise NotAllowed(
                tr("There is a lot {lot} already. Give this delivery another name.", lot=lot.lot)
            )
        if not lot.lot.strip() or "/" in lot.lot:
            raise NotAllowed(tr("A lot needs a name, without a slash."))
        alike = next((x for x in self.lots().lots if look_alike(x, lot.lot)), "")
        if alike:
            raise NotAllowed(
                tr(
                    "{lot} looks like lot {alike}. Add something that tells the two apart.",
                    lot=lot.lot,
                    alike=alike,
                )
            )
        if not lot.quantity >= NOTHING and not (lot.quantity == 0 and lot.supplier.strip()):
            raise NotAllowed(
                tr(
                    "A delivery is more than nothing. What comes on tap needs the place it comes from: "
                    "--supplier."
                )
            )
        self.add(lot)

    def lots_named(self, lot: str) -> bool:
        """Whether a lot of that name was ever received."""
        elsewhere = self.journal.elsewhere
        with self.journal.reading() as c:
            here = c.execute(select(LOT.c.lot).where(LOT.c.lot == lot)).first() is not None
        return here or (elsewhere is not None and elsewhere.knows(lot))

    def about_lot(self, event: ev.LotOpened | ev.LotPriced | ev.LotJudged | ev.LotCounted) -> None:
        """A lot opened, priced, judged or counted."""
        if not self.lots_named(event.lot):
            raise no_lot(event.lot)
        if isinstance(event, ev.LotJudged) and event.state not in STATES:
            raise NotAllowed(tr("A lot is judged one of {names}.", names=", ".join(STATES)))
        if isinstance(event, ev.LotCounted) and not event.quantity >= 0:
            raise NotAllowed(tr("A count is nothing or more."))
        self.add(event)

    def use_pieces(self, batch: str, used: ev.PiecesUsed) -> None:
        """Packaging or labels drawn for a batch."""
        if not self.lots_named(used.lot):
            raise no_lot(used.lot)
        if not 0 <= used.spoiled <= used.pieces or used.pieces == 0:
            raise NotAllowed(tr("At least one piece is used, and no more are spoiled than used."))
        self.add_to(batch, used)

    def record_check(
        self, batch: str, name: str, value: float | None, words: str, fine: bool | None, by: str
    ) -> bool:
        """One result of the release specification; returns whether it passed. A check with limits passes by its
        ``value``, any other by ``fine``."""
        known, wanted = self.specification(batch), name.casefold()
        called = (
            (c, (c.name.casefold(), translated(c.name).casefold())) for c in known
        )  # as a list shows it
        check = next((c for c, names in called if wanted in names), None)
        if check is None:
            names = ", ".join(translated(c.name) for c in known) or "none"
            raise NotAllowed(
                tr(
                    "Batch {batch} has no release check {name!r}; it has: {names}.",
                    batch=batch,
                    name=name,
                    names=names,
                )
            )
        why = check_problem(check, self.standing(batch), value, words, self.journal.wall())
        if why:
            raise NotAllowed(why)
        limited = check.low is not None or check.high is not None
        if not limited and fine is None:
            raise NotAllowed(tr("Say whether it is as it has to be: {expect}.", expect=check.expect))
        passed = in_band(check, value) if limited and value is not None else bool(fine)
        self.add_to(
            batch,
            ev.CheckRecorded(
                at_s=0.0,
                check=check.name,
                expect=check.expect,
                value=value,
                words=words,
                passed=passed,
                by=by,
            ),
        )
        return passed

    def deviation(self, batch: str, number: int) -> Deviation:
        """One deviation of a batch, as it stands. Raises NotAllowed where there is none of that number."""
        found = next((d for d in self.standing(batch).deviations if d.number == number), None)
        if found is None:
            raise NotAllowed(tr("Batch {batch} has no deviation {number}.", batch=batch, number=number))
        return found

    def close_deviation(self, batch: str, number: int, reason: str, by: str) -> None:
        """Accept an open deviation, with the reason why the product may still be used."""
        known = self.deviation(batch, number)
        if known.closed:
            raise NotAllowed(
                tr("Deviation {number} is closed already: {closed}", number=number, closed=known.closed)
            )
        if not reason.strip():
            raise NotAllowed(tr("Say why the product may still be used."))
        self.add_to(batch, ev.DeviationClosed(at_s=0.0, number=number, reason=reason, by=by))

    def against(
        self, batch: str, decision: str, who: str, label_reasons: Sequence[str] = ()
    ) -> tuple[str, ...]:
        """Every reason why this person may not decide so now."""
        standing = self.standing(batch)
        specified = self.specification(batch) if decision == "released" else ()
        checks = checks_of(standing, specified, self.journal.wall())
        reasons = why_not(decision, self.people().find(who), standing, checks, label_reasons)
        return (*reasons, *self.against_elsewhere(batch)) if decision == "released" else reasons

    def against_elsewhere(self, batch: str) -> tuple[str, ...]:
        """Why a batch may not leave by what the other benches know; nothing on a bench alone."""
        elsewhere = self.journal.elsewhere
        if elsewhere is None:
            return ()
        with self.journal.reading() as c:
            lots = c.execute(select(USE.c.lot).where(USE.c.batch == batch)).scalars()
            return elsewhere.against(batch, frozenset(lots))

    def decide(
        self, batch: str, decision: str, reason: str, proof: Proof, label_reasons: Sequence[str] = ()
    ) -> tuple[str, ...]:
        """Release, rework or reject, signed; returns what the decision says about itself."""
        reasons = self.against(batch, decision, proof.who, label_reasons)
        if reasons:
            raise NotAllowed("\n".join(reasons))
        if decision != "released" and not reason.strip():
            raise NotAllowed(tr("Say why."))
        notes = notes_on(proof.who, self.standing(batch))
        said = "; ".join(part for part in (reason.strip(), *notes) if part)
        self.add_to(
            batch,
            ev.BatchDecided(at_s=0.0, decision=decision, reason=said, by=proof.who, role="releaser"),
            ev.Signed(
                at_s=0.0,
                step="",
                who=proof.who,
                meaning=tr("batch {decision}", decision=decision),
                role="releaser",
                proof="pin",
            ),
        )
        return notes

    def dispatch(self, batch: str, sent: ev.Dispatched) -> None:
        """Containers of a released batch leave."""
        line = self.journal.batch(batch)
        if line.decision != "released":
            raise NotAllowed(tr("Batch {batch} is not released; nothing of it may leave.", batch=batch))
        open_ones = self.standing(batch).blocking
        if open_ones:
            raise NotAllowed(
                tr(
                    "Deviation {number} came up since and is open: {text}",
                    number=open_ones[0].number,
                    text=open_ones[0].text,
                )
            )
        reasons = self.against_elsewhere(batch)
        if reasons:
            raise NotAllowed("\n".join(reasons))
        if not 1 <= sent.first <= sent.last <= line.containers:
            raise NotAllowed(
                tr("Batch {batch} has containers 1 to {containers}.", batch=batch, containers=line.containers)
            )
        gone = {n for s in sent_of(self.journal, batch) for n in range(s.first, s.last + 1)}
        twice = sorted(gone & set(range(sent.first, sent.last + 1)))
        if twice:
            raise NotAllowed(
                tr_n(
                    "Container {ranges} left already.",
                    "Containers {ranges} left already.",
                    n=len(twice),
                    ranges=ranges(twice),
                )
            )
        if not sent.to.strip():
            raise NotAllowed(tr("Say where they go."))
        self._still_here(batch, sent.last - sent.first + 1)
        self.add_to(batch, sent)

    def retain(self, batch: str, kept: ev.SampleRetained) -> None:
        """Containers are kept back with the batch."""
        if not self.journal.batch(batch).end:
            raise NotAllowed(tr("Batch {batch} is not finished.", batch=batch))
        if kept.pieces < 1:
            raise NotAllowed(tr("At least one container is kept."))
        if not kept.where.strip():
            raise NotAllowed(tr("Say where they are kept."))
        if kept.until < self.journal.wall()[:10]:
            raise NotAllowed(tr("{until} is past.", until=kept.until))
        self._still_here(batch, kept.pieces)
        self.add_to(batch, kept)

    def _still_here(self, batch: str, pieces: int) -> None:
        """Refuse more containers than a batch has, less those that left and those that are kept back until later."""
        today, containers = self.journal.wall()[:10], self.journal.batch(batch).containers
        kept = sum(x.pieces for x in self.standing(batch).retained if x.until >= today)
        gone = sum(s.last - s.first + 1 for s in sent_of(self.journal, batch))
        if containers and kept + gone + pieces > containers:
            raise NotAllowed(
                tr(
                    "{kept} of its {containers} containers are kept back and {gone} have left: {pieces} more are not here.",
                    kept=kept,
                    containers=containers,
                    gone=gone,
                    pieces=pieces,
                )
            )

    def correct(self, batch: str, n: int, field: str, new: str, reason: str, by: str) -> ev.Corrected:
        """Say that a field of event ``n`` was wrong; the event stays. Returns what was written."""
        one = self.correction(batch, n, field, new, reason, by)
        self.add_to(batch, one)
        return one

    def correction(self, batch: str, n: int, field: str, new: str, reason: str, by: str) -> ev.Corrected:
        """What would be written. Raises NotAllowed where it cannot be corrected so, NoSuchBatch where there is none."""
        named = self.journal.at(batch, n)
        if named is None:
            raise NotAllowed(tr("{batch} has no event {n}.", batch=batch, n=n))
        field = field_meant(named.event, field)
        if isinstance(named.event, NEVER_CORRECTED):
            raise NotAllowed(
                tr("Event {n} was signed, or noted by the program: it stays as it is; say it anew.", n=n)
            )
        if field == "lot" and isinstance(named.event, ev.LotTaken):
            raise NotAllowed(self._weighed_from(batch, named.event))
        if field == "lot" and (isinstance(named.event, ev.LotReceived) or not self.lots_named(new)):
            raise NotAllowed(tr("There is no lot {new!r} that could stand there; receive it first.", new=new))
        if not reason.strip():
            raise NotAllowed(tr("Say why."))
        before = [s.event for s in self.journal.of_kinds([ev.Corrected], batch)]
        was = as_it_stands(named.event, [e for e in before if isinstance(e, ev.Corrected) and e.n == n])
        new = decimal(new) if isinstance(getattr(was, field, None), float) else new
        try:
            require_possible(was, field, new)
        except ValueError as error:
            raise NotAllowed(str(error)) from error
        old = str(getattr(was, field))
        return ev.Corrected(at_s=0.0, n=n, field=field, old=old, new=new, reason=reason, by=by)

    def _weighed_from(self, batch: str, hand: ev.LotTaken) -> str:
        """The sentence that says which weighings to correct instead of the lot that was in hand."""
        taken = self.journal.of_kinds([ev.WeightTaken], batch)
        found = (str(s.n) for s in taken if isinstance(e := s.event, ev.WeightTaken) and e.line == hand.line)
        return tr(
            "What was weighed has its lot beside it. Correct the lot of event {names}.",
            names=", ".join(found) or tr("(there is none)"),
        )
