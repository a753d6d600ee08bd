"""A correction is written: what may be corrected, and to what."""

from __future__ import annotations

from dataclasses import replace

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import decimal
from benchapp.record.aftercare import TASKS
from benchapp.record.correction_words import field_meant
from benchapp.record.corrections import as_it_stands, corrected, require_possible
from benchapp.record.errors import NotAllowed, Unspecified
from benchapp.record.leaving import require_container, require_here, require_its_own
from benchapp.record.lots import LOT_FIELDS
from benchapp.record.stock import require_unit
from benchapp.record.stored_event import StoredEvent
from benchapp.record.workshop import Workshop

#: What a person signed for or the program noted is not corrected: it is said anew.
NEVER_CORRECTED = (
    ev.Corrected, ev.MakeStarted, ev.DeviationNoted, ev.Signed, ev.BatchDecided, ev.DeviationClosed, ev.CheckRecorded, ev.LabelApproved,
    ev.MasterApproved, ev.MasterWithdrawn, ev.CompetenceGranted,
    ev.PersonEnrolled, ev.PersonRetired, ev.PinChanged, ev.PinRefused, ev.PinProved, ev.GuardsRestored,
    ev.BenchJoined, ev.BenchLeft, ev.HeadsReceived,
)  # fmt: skip
#: Of these the newest stands: a correction of one would count nowhere.
NEWEST_STANDS = (ev.LotPriced, ev.LotJudged, ev.LotCounted, ev.CarePlanned, ev.ComplaintAnswered)
#: Days on which something was done or came in.
DAYS_GONE_BY = ("received", "opened", "on")


def correct(shop: Workshop, batch: str, said: ev.Corrected) -> ev.Corrected:
    """Say that a field of an event was wrong; the event stays. Returns what was written, see ``to_be_written``."""
    one = to_be_written(shop, batch, said)
    shop.add_to(batch, one)
    return one


def to_be_written(shop: Workshop, batch: str, said: ev.Corrected) -> ev.Corrected:
    """What a correction would write down: the field by its own name, what stood there before whatever ``said`` has for it. Raises
    NotAllowed where it cannot be corrected so, NoSuchBatch where there is none."""
    n, own = said.n, shop.journal.own  # every bench numbers what it wrote itself
    here = own.at(batch, n)
    named = here or shop.journal.at(batch, n)
    if named is None:
        raise NotAllowed(tr("{batch} has no event {n}.", batch=batch, n=n))
    if here is None and batch == ev.WORKSHOP:
        raise NotAllowed(tr("Event {n} was written on another bench: do that there.", n=n))
    field = field_meant(named.event, said.field)
    _require_correctable(shop, named, field, said.new)
    if not said.reason.strip():
        raise NotAllowed(tr("Say why."))
    before = [s.event for s in own.of_kinds([ev.Corrected], batch)]
    was = as_it_stands(named.event, [e for e in before if isinstance(e, ev.Corrected) and e.n == n])
    new = decimal(said.new) if isinstance(getattr(was, field, None), float) else said.new
    new = _line_meant(shop, batch, new) if field == "line" else new
    try:
        require_possible(was, field, new)
    except ValueError as error:
        raise NotAllowed(str(error)) from error
    _require_writable(shop, batch, was, corrected(was, field, new))
    _require_field(shop, corrected(was, field, new), field)
    return replace(said, field=field, old=str(getattr(was, field)), new=new)


def _require_correctable(shop: Workshop, named: StoredEvent, field: str, new: str) -> None:
    """Refuse what is not corrected at all, or not there."""
    event, n = named.event, named.n
    if isinstance(event, NEVER_CORRECTED):
        raise NotAllowed(
            tr("Event {n} was signed, or noted by the program: it stays as it is; say it anew.", n=n)
        )
    if isinstance(event, NEWEST_STANDS):
        raise NotAllowed(
            tr("Of what event {n} says the newest stands: say it anew instead of correcting it.", n=n)
        )
    if field == "lot" and isinstance(event, ev.LotTaken):
        raise NotAllowed(_weighed_from(shop, named.batch, event))
    named_otherwise = field == "lot" and isinstance(event, ev.LotReceived | ev.LotOpened)
    if named_otherwise or (field in LOT_FIELDS and not shop.lots_named(new)):
        raise NotAllowed(tr("There is no lot {new!r} that could stand there; receive it first.", new=new))


def _require_field(shop: Workshop, now: ev.Event, field: str) -> None:
    """Refuse a day to come, a lot that is kept in another unit, and a batch that there is none of."""
    value = getattr(now, field)
    if field in DAYS_GONE_BY:
        if value > shop.journal.today():
            raise NotAllowed(tr("{on} is still to come.", on=value))
    elif field in LOT_FIELDS:
        require_unit(shop, value, "pieces" if isinstance(now, ev.PiecesUsed) else "g")
    elif field == "made_in" and value:
        shop.journal.batch(value)


def _line_meant(shop: Workshop, batch: str, said: str) -> str:
    """The key of a line of the procedure a batch was made by, named by its key or its name. Raises NotAllowed."""
    try:
        lines = shop.facts(batch).lines
    except Unspecified:
        return said  # nobody can read here what lines there are
    wanted = said.strip().casefold()
    found = (key for key, line in lines.items() if wanted in (key.casefold(), line.name.casefold()))
    key = next(found, "" if lines else said)
    if not key:
        names = ", ".join(lines)
        raise NotAllowed(tr("The procedure has no line {said!r}; it has: {names}.", said=said, names=names))
    return key


def _require_writable(shop: Workshop, batch: str, was: ev.Event, now: ev.Event) -> None:
    """Refuse what could not have been written down so in the first place, by the rules of whoever writes such an event."""
    if isinstance(now, ev.Dispatched) and isinstance(was, ev.Dispatched):
        require_its_own(shop.journal.batch(batch), now)
        require_here(shop, batch, len(now.containers) - len(was.containers))
    elif isinstance(now, ev.SampleRetained) and isinstance(was, ev.SampleRetained):
        require_here(shop, batch, now.pieces - was.pieces)
    elif isinstance(now, ev.ComplaintReceived):
        require_container(shop.journal.batch(batch), now.container)
    elif isinstance(now, ev.CareDone) and now.task not in TASKS:
        raise NotAllowed(tr("What is done is one of {names}.", names=", ".join(TASKS)))
    elif (
        isinstance(now, ev.LotReceived)
        and isinstance(was, ev.LotReceived)
        and (now.quantity == 0) != (was.quantity == 0)
    ):
        raise NotAllowed(tr("What is on tap has no quantity: receive it anew, under another name."))


def _weighed_from(shop: Workshop, batch: str, hand: ev.LotTaken) -> str:
    """The sentence that says which weighings to correct instead of the lot that was in hand."""
    taken = shop.journal.of_kinds([ev.WeightTaken], batch)
    found = (str(s.n) for s in taken if isinstance(e := s.event, ev.WeightTaken) and e.line == hand.line)
    return tr(
        "What was weighed has its lot beside it. Correct the lot of event {names}.",
        names=", ".join(found) or tr("(there is none)"),
    )
