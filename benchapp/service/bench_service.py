"""The application service under every face: one journal, one bench, the make that is open, and the desk."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.record.batch_line import BatchLine
from benchapp.record.journal import Journal
from benchapp.rehearsal.scenario import Scenario
from benchapp.rehearsal.scenario_reading import find_scenario
from benchapp.runtime.bench_monitor import TEND_S, BenchMonitor
from benchapp.runtime.runner import Runner
from benchapp.runtime.settings import OWN_SCENARIOS, Preferences, keep_preferences
from benchapp.service.bench_facts import BenchFacts
from benchapp.service.bench_shelf import BenchShelf
from benchapp.service.desk import PageDesk
from benchapp.service.desk_facts import ShelfCard
from benchapp.service.errors import on_disk
from benchapp.service.makes import Makes, Order, Simulation
from benchapp.service.open_matters import OpenMatter, conflict, open_matters, running_short, unread
from benchapp.service.practice import practices
from benchapp.service.safekeeping import keep_copies, keep_head
from benchapp.service.several_benches import ALONE
from benchapp.service.training import Told, practised_among, reached_among
from benchapp.service.training_facts import Practice, Practices
from drivers.finding import listen
from drivers.formats import formats_with
from drivers.hearing import PortReport
from drivers.settings import Bench
from drivers.simulated import SimulatedBench
from procedures.errors import ProcedureError
from procedures.model import Procedure

if TYPE_CHECKING:
    from benchapp.rehearsal.evidence import Practised
    from benchapp.service.connecting_steps import ConnectingSteps
    from benchapp.service.upkeep import Upkeep


#: What runs out is asked of so many procedures, those that were made last.
MADE_LATELY = 3


def _last_made(batches: Sequence[BatchLine]) -> dict[str, str]:
    """When each procedure was last finished, rehearsals left out."""
    made = sorted((b.ended or b.wall, b.procedure) for b in batches if b.made)
    return {procedure: wall for wall, procedure in made}


class BenchService(BenchShelf):
    """What the faces ask for. ``bench`` None: a simulated one. ``folder`` holds the checks, preferences and own
    scenarios; None where nothing is kept beside the journal. ``workshop`` says how the bench stands to its workshop's
    server."""

    def __init__(
        self,
        journal: Journal,
        bench: Bench | None,
        maker: str,
        simulation: Simulation | None = None,
        folder: Path | None = None,
        workshop: Callable[[], str] = lambda: "",
    ) -> None:
        super().__init__(journal, bench, maker, folder)
        self._workshop = workshop
        self.makes = Makes(journal, self, simulation or Simulation(), folder)
        self._seed = (simulation or Simulation()).seed
        self._looked_back: Told = {}
        self._watched: BenchMonitor | None = None
        self._connecting: ConnectingSteps | None = None

    def desk(self) -> PageDesk:
        """What is asked and written after a make."""
        return PageDesk(self._journal.everywhere)

    def shelf(self) -> tuple[ShelfCard, ...]:
        """A card for each procedure on the shelf."""
        desk, last = self.desk(), _last_made(self.batches())
        return tuple(
            ShelfCard(r, last.get(r.key, ""), desk.usual_s(r.key), desk.short_of(r)) for r in self.recipes()
        )

    # --- the bench -----------------------------------------------------------------------------------

    def keep_preferences(self, preferences: Preferences) -> None:
        """Remember what was chosen on the settings page. Raises CommandError where the disk refuses."""
        if self._folder is not None:
            with on_disk():
                keep_preferences(self._folder, preferences)

    def watch(self) -> BenchMonitor:
        """The bench as it reads now, opened; the make that follows closes it first."""
        if self._watched is not None:
            return self._watched
        self.end()
        bench = self.bench
        if bench is not None:
            watch = BenchMonitor(bench.devices, bench.formats_folder)
        else:
            world = SimulatedBench(seed=self._seed)
            watch = BenchMonitor(
                world.bench.devices, None, lambda: world.now_s, lambda: world.advance(TEND_S), world.close
            )
        watch.start()
        self._watched = watch
        return watch

    def listen(self, tell: Callable[[str], None]) -> tuple[PortReport, ...]:
        """What hangs on this machine's ports; those the bench holds itself are let go of first. ``tell`` is told each
        step, and ends it by raising."""
        self.end()
        folder = self.bench.formats_folder if self.bench else None
        return listen(None, formats=formats_with(folder), progress=tell)

    def connect(self) -> ConnectingSteps:
        """The way of another device into the bench file, question by question. Raises BadBenchFile."""
        from benchapp.service.connecting import Connecting
        from benchapp.service.connecting_steps import ConnectingSteps

        self.end()
        work = Connecting(self.bench_file)
        self._connecting = ConnectingSteps(work, self.free_name, added=self.take_bench)
        return self._connecting

    def facts(self) -> BenchFacts:
        """What the bench page says; the journal's head is kept first, and a copy made where one is due: nobody closes the
        screen of a tablet, its power goes. Raises RecordError where the journal cannot be read."""
        unfinished = self.makes.unfinished()
        lines = () if unfinished is None else (unfinished,)
        practised = "".join(one.said for one in self.practised(lines).values())
        headless = keep_head(self._journal)
        copies = keep_copies(self._journal, self._journal.path.parent) or headless
        matters = open_matters(self.desk(), self._journal.elsewhere.conflicts(), copies)
        return BenchFacts(
            self.maker,
            self.where,
            unfinished,
            self.devices(),
            dict(self.checked()),
            practised,
            (*matters, *self._unread(unfinished), *running_short(self.desk(), self._made_lately())),
            self._workshop(),
        )

    def _unread(self, unfinished: BatchLine | None) -> Iterator[OpenMatter]:
        """The earlier makes that the unfinished one cannot be foretold by, as going on with it in the terminal says."""
        if unfinished is not None:
            one = (unfinished.procedure, unfinished.batch_g, unfinished.rehearsal)
            yield from map(unread, self.makes.unread_before(*one))

    def standing(self) -> tuple[str, tuple[OpenMatter, ...]]:
        """How the bench stands to its workshop's server, and what benches did that does not go together."""
        elsewhere = self._journal.elsewhere
        if not elsewhere.shared:
            return self._workshop() or tr(ALONE), ()
        return self._workshop(), tuple(conflict(one) for one in elsewhere.conflicts())

    def _made_lately(self) -> list[Procedure]:
        """What was made last and can still be read. Rehearsals use nothing up."""
        made = (b.procedure for b in self.batches() if not b.rehearsal)
        found = []
        for key in islice(dict.fromkeys(made), MADE_LATELY):
            with contextlib.suppress(ProcedureError):  # its file is gone
                found.append(self.procedure(key))
        return found

    def upkeep(self) -> Upkeep:
        """Whether machine, devices, clock and copies are in order, and what puts them in order."""
        from benchapp.service.upkeep import Upkeep

        return Upkeep(self._journal, self.bench)

    # --- makes ---------------------------------------------------------------------------------------

    def begin(self, key: str, batch_g: float) -> Runner:
        """A new make; a rehearsal where the bench is simulated."""
        if self.simulated:
            return self.rehearse(key, batch_g)
        self._stop_watching()
        runner = self.makes.begin(self._order(key, batch_g))
        self.as_it_says(key)
        return runner

    def rehearse(self, key: str, batch_g: float) -> Runner:
        """Rehearse a whole batch on a simulated bench, whatever bench there is."""
        self._stop_watching()
        runner = self.makes.rehearse(self._order(key, batch_g))
        self.as_it_says(key)
        return runner

    def practise(self, key: str, who: str = "", batch_g: float | None = None) -> Runner:
        """Rehearse that scenario on a simulated bench, whatever bench there is; ``who`` practises, the maker here
        where nobody is named. Raises RehearsalError."""
        scenario = self.scenario(key)
        self._stop_watching()
        order = Order(
            self.procedure(scenario.procedure), batch_g or scenario.batch_g, who or self.maker, scenario
        )
        return self.makes.rehearse(order)

    def resume(self, batch: str) -> Runner:
        """An unfinished make. Raises CommandError where it cannot be gone on with here."""
        self._stop_watching()
        return self.makes.resume(batch)

    def end(self) -> None:
        """Let go of the devices."""
        self._stop_watching()
        self.makes.end()

    def _stop_watching(self) -> None:
        if self._connecting is not None:
            self._connecting.end()
            self._connecting = None
        if self._watched is not None:
            self._watched.stop()
            self._watched = None

    # --- practising ----------------------------------------------------------------------------------

    def scenario(self, key: str) -> Scenario:
        """A shipped scenario, or one of the workshop's own. Raises RehearsalError."""
        return find_scenario(key, self._own_scenarios())

    def practices(self) -> Practices:
        """The shipped scenarios, and the workshop's own in its data folder."""
        return practices(self._own_scenarios())

    def leading_in(self) -> Practice | None:
        """The scenario the simulated hands are still walking to where it begins; any thread."""
        rehearsal = self.makes.rehearsal
        director = rehearsal.director if rehearsal is not None else None
        if director is None or not director.leading_in:
            return None
        one = director.scenario
        return Practice(one.key, one.title, one.goal, one.teaches, *director.begins_at)

    def practised(self, lines: Sequence[BatchLine]) -> Mapping[str, Practised]:
        """What each rehearsal of a scenario among these was and how it ended, by batch."""
        return practised_among(self._journal.everywhere, lines, self._looked_back)

    def reached(self) -> frozenset[str]:
        """The titles of the scenarios whose goal was reached in the newest rehearsals."""
        newest = [line for line in self._journal.batches(50) if line.rehearsal]
        return reached_among(self._journal, newest)

    def _own_scenarios(self) -> Path | None:
        return self._folder / OWN_SCENARIOS if self._folder is not None else None

    # --- what was made -------------------------------------------------------------------------------

    def batches(self) -> tuple[BatchLine, ...]:
        """Newest first."""
        return tuple(self._journal.everywhere.batches(200))
