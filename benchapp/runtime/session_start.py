"""How a session begins: a new make with its first event on disk, or an unfinished one taken up where it stood."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchapp import events as ev
from benchapp.calculations.own_limits import read_law
from benchapp.events.grades import SUBSTITUTED, grade_of
from benchapp.foundation.language import tr
from benchapp.make import inputs
from benchapp.make.core import Make
from benchapp.make.plan import Plan
from benchapp.make.plan_making import make_plan
from benchapp.runtime.program import program_version
from benchapp.runtime.session import Session
from benchapp.runtime.substitution import Substitution

if TYPE_CHECKING:
    from benchapp.record.journal import Journal
    from benchapp.record.stored_event import StoredEvent
    from drivers.settings import DeviceSettings
    from procedures.model import Procedure


@dataclass(frozen=True, slots=True)
class BatchOrder:
    """A make to be begun: what its first event keeps. ``role`` is the maker's where people are enrolled, ``witness``
    the kinds of step a second person has to sign, ``scenario`` the text of the one that is rehearsed, ``law`` that of
    the workshop's own file of law, ``ph_step`` what the pH was last read with on this bench, ``version`` the approved
    master's (see MakeStarted)."""

    procedure: Procedure
    batch_g: float
    devices: Sequence[ev.DeviceFacts]
    maker: str
    batch: str
    rehearsal: bool = False
    role: str = ""
    witness: tuple[str, ...] = ()
    scenario: str = ""
    ph_step: float | None = None
    law: str = ""
    version: int | None = None
    substitution: Substitution | None = None  # an ingredient that is replaced in this batch alone


def facts_of(settings: DeviceSettings, checked: str = "") -> ev.DeviceFacts:
    """What the record keeps of a device."""
    return ev.DeviceFacts(
        settings.name,
        settings.kind,
        settings.channels,
        settings.readability_g,
        settings.capacity_g,
        checked,
        settings.period_s,
    )


def begin(journal: Journal, order: BatchOrder, clock: Callable[[], float]) -> Session:
    """A new make, its first event on disk. Raises ValueError for an impossible size, RecordError for the disk."""
    if not order.maker.strip():
        raise ValueError(tr("Say who makes it: the record and the signature need a name."))
    procedure, devices = order.procedure, tuple(order.devices)
    session = Session(
        Make(make_plan(procedure, order.batch_g, devices, order.witness, read_law(order.law))),
        journal,
        order.batch,
        clock,
    )
    started = ev.MakeStarted(
        at_s=clock(), batch=order.batch, maker=order.maker, procedure=procedure.key,
        procedure_sha256=procedure.sha256, procedure_text=procedure.text, batch_g=order.batch_g,
        devices=devices, rehearsal=order.rehearsal, role=order.role, witness=order.witness, scenario=order.scenario,
        ph_step=order.ph_step, law=order.law, version=order.version, program=program_version(),
    )  # fmt: skip
    first = [started, *_substituted(order.substitution, started.at_s)]
    journal.append(order.batch, first)
    session.make.apply(first)
    session.put(inputs.Tick(clock()))
    return session


def _substituted(said: Substitution | None, at_s: float) -> list[ev.Event]:
    """A deviation by plan, which a releaser is asked about, and the signature of whoever answers for it."""
    if said is None:
        return []
    text = tr("{words}: {reason} Approved by {by}.", words=said.words, reason=said.reason, by=said.by)
    noted = ev.DeviationNoted(
        at_s=at_s, number=1, grade=grade_of(SUBSTITUTED), kind=SUBSTITUTED, step="", text=text
    )
    signed = ev.Signed(
        at_s=at_s, step="", who=said.by, meaning=tr("approved: {words}", words=said.words), role="releaser" if said.proof else "",
        proof=said.proof,
    )  # fmt: skip
    return [noted, signed]


def plan_of(started: ev.MakeStarted) -> Plan:
    """The plan as it was when the make was started, from what the journal kept."""
    from procedures.reading import read_text

    procedure = read_text(started.procedure_text, f"{started.procedure}.toml", as_made=True).procedure
    return make_plan(procedure, started.batch_g, started.devices, started.witness, read_law(started.law))


def reopen(
    journal: Journal, stored: Sequence[StoredEvent], gap_s: float, clock: Callable[[], float]
) -> Session:
    """An unfinished make, standing where it stood. ``gap_s``: wall seconds since its last event."""
    events = [s.event for s in stored]
    started = events[0]
    assert isinstance(started, ev.MakeStarted)
    session = Session(Make(plan_of(started), events), journal, started.batch, clock)
    session.taken_up_at(max((s.n for s in stored if isinstance(s.event, ev.MakeResumed)), default=0))
    session.put(inputs.Resumed(clock(), max(gap_s, 0.0), program_version()))
    return session
