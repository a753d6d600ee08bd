"""Begins, rehearses and resumes a batch: one function each, whichever face asks. A rehearsal is only ever made on a
simulated bench, a real make never."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from benchapp import events as ev
from benchapp.calculations.hot_bath import HotBath
from benchapp.calculations.until_done import PastMake
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.inputs import Hold
from benchapp.make.view_model import ViewModel
from benchapp.record.batch_line import BatchLine
from benchapp.record.bench_identity import own_stem
from benchapp.record.journal import Journal
from benchapp.record.masters import version_of
from benchapp.record.past_makes import past_makes
from benchapp.record.past_waits import PastWaits, past_waits
from benchapp.record.stored_event import StoredEvent
from benchapp.rehearsal.run import Rehearsal, rehearse, resume_rehearsal
from benchapp.rehearsal.runner import SCENARIO_PACE, WATCHED_PACE, RehearsalRunner
from benchapp.rehearsal.scenario import Scenario
from benchapp.runtime.clocks import make_clock, seconds_since, today
from benchapp.runtime.runner import Hook, Runner
from benchapp.runtime.session import Session
from benchapp.runtime.session_start import BatchOrder, begin, reopen
from benchapp.runtime.settings import Preferences, last_bench, preferences_in, remember_bench
from benchapp.runtime.substitution import Substitution
from benchapp.service.bench_devices import BenchDevices
from benchapp.service.errors import CommandError, on_disk
from benchapp.service.lots import lots_on_hand
from benchapp.service.market import law_text
from benchapp.service.signing import prover, who_makes
from drivers.bench_file import read_bench
from drivers.devices import open_bench
from drivers.settings import Bench
from drivers.simulated import SimulatedBench
from procedures.model import Procedure

#: Who makes where no person does.
SIMULATED = tr_noop("simulated hands")


@dataclass(frozen=True, slots=True)
class Order:
    """A batch to be made: by what procedure, how much, by whom; with a scenario where one is rehearsed, with an ingredient
    replaced in this batch alone."""

    procedure: Procedure
    batch_g: float
    maker: str
    scenario: Scenario | None = None
    substitution: Substitution | None = None

    @property
    def master_sha256(self) -> str:
        """The hash of the procedure as it was approved, whatever is replaced in it."""
        return self.procedure.sha256 if self.substitution is None else self.substitution.master_sha256


@dataclass(frozen=True, slots=True)
class Simulation:
    """How a rehearsal runs: simulated seconds a second, also once a scenario has begun (0: as fast as it goes),
    which slips of the hand, and whether a person watches, who is not helped in a scenario."""

    pace: float = WATCHED_PACE
    practice_pace: float = SCENARIO_PACE
    seed: int = 1
    watched: bool = True


class Makes:
    """The makes of one journal on one bench; at most one of them is open. ``folder``: where the bench used last is
    remembered, None where it is not."""

    def __init__(
        self, journal: Journal, bench: BenchDevices, simulation: Simulation, folder: Path | None
    ) -> None:
        self._journal = journal
        self._bench = bench
        self._simulation = simulation
        self._folder = folder
        self._session: Session | None = None
        self.simulated: SimulatedBench | None = None
        self.rehearsal: Rehearsal | None = None
        #: Sentences about earlier makes that should have foretold the one begun last, and could not be read.
        self.unread: tuple[str, ...] = ()

    def begin(self, order: Order) -> Runner:
        """A new make on the devices of the bench file. Raises CommandError where it cannot be made."""
        bench = self._bench.bench
        if bench is None:
            raise CommandError(tr("There is no bench file: say which with --bench FILE, or rehearse it."))
        _possible(self._bench, order)
        maker, role, witness = who_makes(self._journal, order.maker)
        self.end()
        self._remember(bench)
        version = version_of(self._journal.everywhere, order.procedure.key, order.master_sha256)
        begun = replace(self._ordered(order, self._bench, maker), role=role, witness=witness, version=version)
        return self._on_bench(begin(self._journal, begun, make_clock(0.0)), bench)

    def rehearse(self, order: Order) -> Runner:
        """A new rehearsal on a simulated bench, whatever bench there is. Raises CommandError where it cannot be made."""
        devices = BenchDevices(None, self._folder)
        _possible(devices, order)
        scenario = order.scenario
        # Where nobody watches, the simulated hands show what they can, and it speaks for nobody else.
        maker = order.maker if scenario is None or self._simulation.watched else SIMULATED
        bench = self._open_simulated()
        text = scenario.text if scenario else ""
        begun = replace(self._ordered(order, devices, maker), rehearsal=True, scenario=text)
        session = begin(self._journal, begun, lambda: bench.now_s)
        return self._in_lock_step(rehearse(bench, session, self._simulation.seed, scenario=scenario))

    def resume(self, batch: str) -> Runner:
        """An unfinished make, standing where it stood: a rehearsal on a simulated bench, a real make on the bench
        file that is named or was used last. Raises CommandError where there is none, or the make is over."""
        line = self._journal.batch(batch)
        if line.end:
            raise CommandError(
                tr(
                    "Batch {batch} is {end} already; there is nothing to go on with.",
                    batch=batch,
                    end=line.end,
                )
            )
        stored = self._journal.stored(batch)
        return self._resume_rehearsal(stored) if line.rehearsal else self._resume_real(batch, stored)

    def _resume_rehearsal(self, stored: list[StoredEvent]) -> Runner:
        bench, base_s = self._open_simulated(), stored[-1].event.at_s
        session = reopen(self._journal, stored, 0.0, lambda: base_s + bench.now_s)
        events = [s.event for s in stored]
        return self._in_lock_step(resume_rehearsal(bench, session, self._simulation.seed, events))

    def _resume_real(self, batch: str, stored: list[StoredEvent]) -> Runner:
        bench = self._bench.bench or self._used_last(batch)
        self.end()
        self._remember(bench)
        gap_s = seconds_since(stored[-1].wall)
        clock = make_clock(stored[-1].event.at_s + gap_s)
        return self._on_bench(reopen(self._journal, stored, gap_s, clock), bench)

    def unfinished(self) -> BatchLine | None:
        """What to go on with unless something is named."""
        return self._journal.to_go_on_with()

    def end(self) -> None:
        """Let go of the devices of the make that is open."""
        self.rehearsal = None
        if self._session is not None:
            self._session.close()
            self._session = None
        if self.simulated is not None:
            self.simulated.close()
            self.simulated = None

    def _ordered(self, order: Order, devices: BenchDevices, maker: str) -> BatchOrder:
        """The order with the devices it is made on and a batch name of its own."""
        batch = self._journal.new_batch(today(), own_stem(self._journal, order.procedure.key))
        said = [s.event for s in self._journal.of_kinds([ev.PhReaderStated])]
        read_with = said[-1].step_ph if said and isinstance(said[-1], ev.PhReaderStated) else None
        return BatchOrder(
            order.procedure,
            order.batch_g,
            devices.device_facts(),
            maker,
            batch,
            law=law_text(self._journal.path.parent),
            ph_step=read_with,
            substitution=order.substitution,
        )

    def _remember(self, bench: Bench) -> None:
        if self._folder is not None:
            with on_disk():
                remember_bench(self._folder, Path(bench.source))

    def _used_last(self, batch: str) -> Bench:
        file = None if self._folder is None else last_bench(self._folder)
        if file is None:
            raise CommandError(
                tr(
                    "Batch {batch} is made on real devices, and no bench file is known here. Say which "
                    "one it goes on with: benchapp resume --bench FILE, or benchapp screen --bench FILE.",
                    batch=batch,
                )
            )
        return read_bench(file)

    def _on_bench(self, session: Session, bench: Bench) -> Runner:
        self._learn(session)
        session.bathe(self._bath())
        session.stock(lambda: lots_on_hand(self._journal))
        session.prove_by(prover(self._journal))
        session.attach(open_bench(bench, session.clock, session.post))
        self._session = session
        runner, elsewhere = Runner(session), self._journal.elsewhere
        if elsewhere.shared:
            runner.hooks.append(interrupted_by(session, lambda: elsewhere.blocked))
        return runner

    def _bath(self) -> HotBath | None:
        chosen = Preferences() if self._folder is None else preferences_in(self._folder)
        return HotBath.told(chosen.bath, chosen.bath_c)

    def _learn(self, session: Session) -> None:
        """What finished makes like it say: of its waits on this bench, of its time in the whole workshop."""
        plan = session.make.plan
        waits, makes, self.unread = self._alike(plan.procedure.key, plan.batch_g, session.rehearsing)
        session.learn(waits, makes)

    def unread_before(self, procedure: str, batch_g: float, rehearsal: bool) -> tuple[str, ...]:
        """The same sentences before a make is begun."""
        return self._alike(procedure, batch_g, rehearsal)[2]

    def _alike(
        self, procedure: str, batch_g: float, rehearsal: bool
    ) -> tuple[PastWaits, tuple[PastMake, ...], tuple[str, ...]]:
        alike, unread = (procedure, batch_g, rehearsal), dict[str, str]()
        waits = past_waits(self._journal, *alike, unread)
        return waits, past_makes(self._journal.everywhere, *alike, unread), tuple(unread.values())

    def _open_simulated(self) -> SimulatedBench:
        self.end()
        self.simulated = SimulatedBench(seed=self._simulation.seed)
        return self.simulated

    def _in_lock_step(self, rehearsal: Rehearsal) -> Runner:
        """A rehearsal at its pace; in a scenario that a person watches nobody answers but they."""
        self._session, self.rehearsal = rehearsal.session, rehearsal
        self._learn(rehearsal.session)
        rehearsal.session.prove_by(prover(self._journal))
        one, practising = self._simulation, rehearsal.director is not None
        return RehearsalRunner(
            rehearsal,
            one.practice_pace if practising else one.pace,
            helps=not (practising and one.watched),
        )


def _possible(bench: BenchDevices, order: Order) -> None:
    """Raise CommandError with every reason why this much cannot be made here, or by nobody."""
    if not order.maker.strip():
        raise CommandError(tr("Say who makes it: --maker NAME. The record and the signature need a name."))
    bench.require_possible(order.procedure, order.batch_g)


def interrupted_by(session: Session, blocked: Callable[[], Mapping[str, str]]) -> Hook:
    """Holds the make once for each lot that is in it and that another bench has blocked; ``blocked`` gives those by name
    with the sentence why, at once. Whether to go on is the maker's, and stands in the record."""
    used: set[str] = set()
    told: set[str] = set()

    def hook(view: ViewModel) -> ViewModel:
        used.update(taken.lot for taken in session.make.state.lots.values())
        for lot, why in blocked().items():
            if lot in used - told and not view.over:
                before = session.recorded
                session.put(Hold(session.clock(), tr("{why} It is in this batch.", why=why)))
                if session.recorded > before:  # what stands above a hold, an alarm for one, comes first
                    told.add(lot)
        return view

    return hook
