"""The workshop behind the glass: the shelf, the journal and a bench, simulated or real."""

from __future__ import annotations

from pathlib import Path

from benchapp.bench_pulse import BenchPulse, make_clock
from benchapp.make.plan import Plan, make_plan
from benchapp.record.batch_record import Record, record_of
from benchapp.record.journal import BatchLine, Journal
from benchapp.rehearsal.pulse import RehearsalPulse
from benchapp.rehearsal.run import rehearse
from benchapp.screens.bench import Recipe
from benchapp.screens.loop import Pulse
from benchapp.session import Session, begin, facts_of, reopen
from drivers.devices import open_bench
from drivers.settings import Bench
from drivers.simulated import DEFAULT_DEVICES, SimulatedBench
from procedures.batch import check_batch
from procedures.reading import read_procedure
from procedures.shelf import find, shipped


class ShopFloor:
    """One journal and one bench. ``bench`` None: a simulated one, at ``pace``, from ``seed``."""

    def __init__(
        self, journal: Journal, bench: Bench | None, maker: str, pace: float = 60.0, seed: int = 1
    ) -> None:
        self._journal = journal
        self._bench = bench
        self._pace, self._seed = pace, seed
        self.maker = maker
        self.where = "a simulated bench" if bench is None else Path(bench.source).name
        self._session: Session | None = None
        self.simulated: SimulatedBench | None = None

    def recipes(self) -> tuple[Recipe, ...]:
        """What is on the shelf."""
        found = (read_procedure(find(key)).procedure for key in shipped())
        return tuple(
            Recipe(p.key, p.name, p.default_batch_g, p.batch_g.low, p.batch_g.high, p.formula.description)
            for p in found
        )

    def plan(self, key: str, batch_g: float) -> tuple[Plan, tuple[str, ...]]:
        """The plan, and every reason why this much cannot be made here."""
        procedure = read_procedure(find(key)).procedure
        devices = self._bench.devices if self._bench else DEFAULT_DEVICES
        scales = [(d.capacity_g, d.readability_g) for d in devices if d.capacity_g and d.readability_g]
        problems = tuple(
            f"{p.what}. {p.instead}" for p in check_batch(procedure, batch_g, scales) if p.grade == "error"
        )
        return make_plan(procedure, batch_g, [facts_of(d) for d in devices]), problems

    def batches(self) -> tuple[BatchLine, ...]:
        """Newest first."""
        return tuple(self._journal.batches(200))

    def record(self, batch: str) -> Record:
        """One record."""
        return record_of(self._journal.stored(batch))

    def begin(self, key: str, batch_g: float) -> Pulse:
        """A new make."""
        from benchapp.commands.making import today

        procedure = read_procedure(find(key)).procedure
        batch = self._journal.new_batch(today(), procedure.key)
        if self._bench is None:
            bench = self._open_simulated()
            facts = [facts_of(d) for d in bench.bench.devices]
            session = begin(
                self._journal,
                procedure,
                batch_g,
                facts,
                self.maker,
                batch,
                lambda: bench.now_s,
                rehearsal=True,
            )
            return self._rehearse(bench, session)
        facts = [facts_of(d) for d in self._bench.devices]
        return self._on_bench(
            begin(self._journal, procedure, batch_g, facts, self.maker, batch, make_clock(0.0))
        )

    def resume(self, batch: str) -> Pulse:
        """An unfinished make."""
        from benchapp.commands.making import seconds_since

        stored = self._journal.stored(batch)
        base = stored[-1].event.at_s
        first = stored[0].event
        if getattr(first, "rehearsal", False) or self._bench is None:
            bench = self._open_simulated()
            return self._rehearse(bench, reopen(self._journal, stored, 0.0, lambda: base + bench.now_s))
        gap_s = seconds_since(stored[-1].wall)
        return self._on_bench(reopen(self._journal, stored, gap_s, make_clock(base + gap_s)))

    def end(self) -> None:
        """Let go of the devices."""
        if self._session is not None:
            self._session.close()
            self._session = None
        if self.simulated is not None:
            self.simulated.close()
            self.simulated = None

    def _open_simulated(self) -> SimulatedBench:
        self.end()
        self.simulated = SimulatedBench(seed=self._seed)
        return self.simulated

    def _rehearse(self, bench: SimulatedBench, session: Session) -> Pulse:
        self._session = session
        return RehearsalPulse(rehearse(bench, session, session.make.plan.procedure, self._seed), self._pace)

    def _on_bench(self, session: Session) -> Pulse:
        assert self._bench is not None
        self.end()
        session.attach(open_bench(self._bench, session.clock, session.post))
        self._session = session
        return BenchPulse(session)
