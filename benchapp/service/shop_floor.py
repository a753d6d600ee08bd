"""The workshop behind the glass: the shelf, the journal and a bench, simulated or real."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from benchapp.events import DeviceFacts
from benchapp.make.plan import Plan, make_plan
from benchapp.record.batch_record import Record
from benchapp.record.journal import BatchLine, Journal
from benchapp.rehearsal.run import Rehearsal, rehearse
from benchapp.rehearsal.runner import SCENARIO_PACE, RehearsalRunner
from benchapp.rehearsal.scenario import Scenario
from benchapp.rehearsal.scenario_reading import OWN_SCENARIOS, find_scenario
from benchapp.rehearsal.taking_up import take_up
from benchapp.runtime.bench_monitor import TEND_S, BenchMonitor
from benchapp.runtime.bench_runner import BenchRunner
from benchapp.runtime.clocks import make_clock
from benchapp.runtime.device_checks import Check, checks_in, electrode, keep, passed_at, passed_channels
from benchapp.runtime.runner import Runner
from benchapp.runtime.session import Session, begin, facts_of, reopen
from benchapp.runtime.settings import Preferences, keep_preferences
from benchapp.service.bench_facts import Recipe
from benchapp.service.desk import Desk
from benchapp.service.procedure_facts import record_in
from benchapp.service.signing import who_makes
from benchapp.service.stock import lots_on_hand
from benchapp.service.training import looked_back, practices
from benchapp.service.training_facts import Practice, Practices
from drivers.bench_file import read_bench, write_section
from drivers.devices import open_bench
from drivers.finding import PortReport, listen, proposed_section
from drivers.formats import formats_with
from drivers.settings import Bench, DeviceSettings
from drivers.simulated import DEFAULT_DEVICES, SimulatedBench
from procedures.batch import check_batch
from procedures.model import Procedure
from procedures.reading import read_procedure
from procedures.shelf import find, shipped


class ShopFloor:
    """One journal and one bench. ``bench`` None: a simulated one, at ``pace``, from ``seed``."""

    def __init__(
        self,
        journal: Journal,
        bench: Bench | None,
        maker: str,
        pace: float = 60.0,
        seed: int = 1,
        folder: Path | None = None,
        practice_pace: float = SCENARIO_PACE,
    ) -> None:
        """``practice_pace``: simulated seconds a second once a scenario has begun."""
        self._folder = folder
        self._practice_pace = practice_pace
        self._rehearsal: Rehearsal | None = None
        self._looked_back: dict[str, str] = {}
        self._journal = journal
        self._bench = bench
        self._pace, self._seed = pace, seed
        self.maker = maker
        self.where = "a simulated bench" if bench is None else Path(bench.source).name
        self._session: Session | None = None
        self.simulated: SimulatedBench | None = None
        self._read: dict[str, Procedure] = {}
        self._watched: BenchMonitor | None = None

    def _procedure(self, key: str) -> Procedure:
        """A shipped procedure, read once."""
        if key not in self._read:
            self._read[key] = read_procedure(find(key)).procedure
        return self._read[key]

    def desk(self) -> Desk:
        """What is asked and written after a make."""
        return Desk(self._journal)

    def devices(self) -> tuple[DeviceSettings, ...]:
        """What stands on the bench."""
        return self._bench.devices if self._bench else DEFAULT_DEVICES

    def checked(self) -> dict[str, str]:
        """When each device passed its last check; nothing without a data folder."""
        channels = {d.name: d.channels for d in self.devices()}
        return passed_at(self._folder, channels) if self._folder else {}

    def last_checks(self) -> dict[tuple[str, str], Check]:
        """The newest check of each channel; nothing without a data folder."""
        return passed_channels(self._folder) if self._folder else {}

    def keep_check(self, check: Check) -> str:
        """Remember a check for later makes; what two buffers together say of a pH electrode, "" where they do not."""
        if self._folder is None:
            return ""
        keep(self._folder, check)
        return electrode(checks_in(self._folder), check.device) if check.unit == "pH" else ""

    def keep_preferences(self, preferences: Preferences) -> None:
        """Remember what was chosen on the settings page."""
        if self._folder is not None:
            keep_preferences(self._folder, preferences)

    def watch(self) -> BenchMonitor:
        """The bench as it reads now, opened; the make that follows closes it first."""
        if self._watched is not None:
            return self._watched
        self.end()
        if self._bench is not None:
            watch = BenchMonitor(self._bench.devices, self._bench.formats_folder)
        else:
            world = SimulatedBench(seed=self._seed)
            watch = BenchMonitor(
                world.bench.devices, None, lambda: world.now_s, lambda: world.advance(TEND_S), world.close
            )
        watch.start()
        self._watched = watch
        return watch

    def listen(self, tell: Callable[[str], None]) -> tuple[PortReport, ...]:
        """What hangs on this machine's ports; those the bench holds itself are let go of first."""
        self.end()
        folder = self._bench.formats_folder if self._bench else None
        return listen(None, formats=formats_with(folder), progress=tell)

    def add_device(self, heard: PortReport, capacity_g: float | None) -> str:
        """Write what was heard into the bench file, and take the file for the bench; returns the device's name.

        Without a bench file one is begun in the data folder; a simulated bench is left for it. A scale has to come
        with its capacity. Raises BadDevice and BadBenchFile.
        """
        place = Path(self._bench.source) if self._bench else (self._folder or Path()) / "bench.toml"
        kind = heard.fits[0].kind if heard.fits else "device"
        names = {d.name for d in self._bench.devices} if self._bench else set()
        name = next(n for n in (kind, *(f"{kind} {i}" for i in range(2, 100))) if n not in names)
        write_section(place, replace(proposed_section(heard, name), capacity_g=capacity_g))
        self._bench = read_bench(place)
        self.where = place.name
        return name

    def _facts(self, devices: Sequence[DeviceSettings]) -> list[DeviceFacts]:
        checked = self.checked()
        return [facts_of(d, checked.get(d.name, "")) for d in devices]

    def recipes(self) -> tuple[Recipe, ...]:
        """What is on the shelf."""
        found = (self._procedure(key) for key in shipped())
        return tuple(
            Recipe(p.key, p.name, p.default_batch_g, p.batch_g.low, p.batch_g.high, p.formula.description)
            for p in found
        )

    def materials(self) -> tuple[tuple[str, str], ...]:
        """Every material the procedures on the shelf name: its key and its name, by name."""
        found = {m.key: m.name for key in shipped() for m in self._procedure(key).materials.values()}
        return tuple(sorted(found.items(), key=lambda pair: pair[1].casefold()))

    def plan(self, key: str, batch_g: float) -> tuple[Plan, tuple[str, ...]]:
        """The plan, and every reason why this much cannot be made here."""
        procedure = self._procedure(key)
        devices = self.devices()
        scales = [(d.capacity_g, d.readability_g) for d in devices if d.capacity_g and d.readability_g]
        problems = tuple(
            f"{p.what}. {p.instead}" for p in check_batch(procedure, batch_g, scales) if p.grade == "error"
        )
        return make_plan(procedure, batch_g, self._facts(devices)), problems

    def batches(self) -> tuple[BatchLine, ...]:
        """Newest first."""
        return tuple(self._journal.batches(200))

    def record(self, batch: str) -> Record:
        """One record."""
        return record_in(self._journal, batch)

    def begin(self, key: str, batch_g: float) -> Runner:
        """A new make."""
        from benchapp.runtime.clocks import today

        if self._bench is None:
            return self.rehearse(key, batch_g)
        self.end()
        procedure = self._procedure(key)
        batch = self._journal.new_batch(today(), procedure.key)
        facts = self._facts(self._bench.devices)
        maker, role, witness = who_makes(self._journal, self.maker)
        clock = make_clock(0.0)
        return self._on_bench(
            begin(self._journal, procedure, batch_g, facts, maker, batch, clock, role=role, witness=witness)
        )

    def practices(self) -> Practices:
        """The shipped scenarios, and the workshop's own in its data folder."""
        return practices(self._own_scenarios())

    def practise(self, key: str, who: str = "") -> Runner:
        """Rehearse that scenario on a simulated bench, whatever bench there is; ``who`` practises, the maker here
        where nobody is named. Raises RehearsalError."""
        scenario = find_scenario(key, self._own_scenarios())
        return self._rehearse(scenario.procedure, scenario.batch_g, scenario, who)

    def rehearse(self, key: str, batch_g: float) -> Runner:
        """Rehearse a whole batch on a simulated bench, whatever bench there is."""
        return self._rehearse(key, batch_g, None)

    def leading_in(self) -> Practice | None:
        """The scenario the simulated hands are still walking to where it begins; any thread."""
        director = self._rehearsal.director if self._rehearsal is not None else None
        if director is None or not director.leading_in:
            return None
        one = director.scenario
        return Practice(one.key, one.title, one.goal, one.teaches)

    def practised(self, lines: Sequence[BatchLine]) -> dict[str, str]:
        """What each rehearsal of a scenario among these was and how it ended, by batch."""
        return looked_back(self._journal, lines, self._looked_back)

    def _own_scenarios(self) -> Path | None:
        return self._folder / OWN_SCENARIOS if self._folder is not None else None

    def resume(self, batch: str) -> Runner:
        """An unfinished make."""
        from benchapp.runtime.clocks import seconds_since

        stored = self._journal.stored(batch)
        base = stored[-1].event.at_s
        first = stored[0].event
        if getattr(first, "rehearsal", False) or self._bench is None:
            bench = self._open_simulated()
            session = reopen(self._journal, stored, 0.0, lambda: base + bench.now_s)
            return self._beating(take_up(bench, session, self._seed, [s.event for s in stored]))
        gap_s = seconds_since(stored[-1].wall)
        return self._on_bench(reopen(self._journal, stored, gap_s, make_clock(base + gap_s)))

    def end(self) -> None:
        """Let go of the devices."""
        if self._watched is not None:
            self._watched.stop()
            self._watched = None
        self._rehearsal = None
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

    def _rehearse(self, key: str, batch_g: float, scenario: Scenario | None, who: str = "") -> Runner:
        from benchapp.runtime.clocks import today

        bench = self._open_simulated()
        procedure = self._procedure(key)
        batch = self._journal.new_batch(today(), procedure.key)
        devices = bench.bench.devices  # a check of a real bench says nothing of these
        facts = self._facts(devices) if self._bench is None else [facts_of(d) for d in devices]
        session = begin(
            self._journal, procedure, batch_g, facts, who or self.maker, batch, lambda: bench.now_s, rehearsal=True,
            scenario=scenario.text if scenario else "",
        )  # fmt: skip
        return self._beating(rehearse(bench, session, procedure, self._seed, scenario=scenario))

    def _beating(self, rehearsal: Rehearsal) -> Runner:
        """A rehearsal at its pace; in a scenario nobody answers but the maker."""
        self._session, self._rehearsal = rehearsal.session, rehearsal
        practising = rehearsal.director is not None
        pace = self._practice_pace if practising else self._pace
        return RehearsalRunner(rehearsal, pace, helps=not practising)

    def _on_bench(self, session: Session) -> Runner:
        assert self._bench is not None
        self.end()
        session.stock(lambda: lots_on_hand(self._journal))
        session.attach(open_bench(self._bench, session.clock, session.post))
        self._session = session
        return BenchRunner(session)
