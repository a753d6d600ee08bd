"""rehearse, guide and resume: the commands that walk a make."""

from __future__ import annotations

import argparse
import contextlib
import sys
from collections.abc import Iterator
from pathlib import Path

from rich.console import Console

from benchapp.make.moment import Moment
from benchapp.record.journal import BatchLine, Journal
from benchapp.record.stored_event import StoredEvent
from benchapp.rehearsal.debrief import debrief, debrief_lines
from benchapp.rehearsal.errors import RehearsalError
from benchapp.rehearsal.evidence import practised
from benchapp.rehearsal.run import Rehearsal, rehearse
from benchapp.rehearsal.runner import SCENARIO_PACE, WATCHED_PACE, RehearsalRunner
from benchapp.rehearsal.scenario import Scenario
from benchapp.rehearsal.scenario_reading import OWN_SCENARIOS, find_scenario
from benchapp.rehearsal.taking_up import take_up
from benchapp.runtime.bench_runner import BenchRunner
from benchapp.runtime.clocks import make_clock, seconds_since, today, wall_now
from benchapp.runtime.device_checks import passed_at
from benchapp.runtime.guided_runner import GuidedRunner
from benchapp.runtime.runner import Runner
from benchapp.runtime.session import Session, begin, facts_of, reopen
from benchapp.runtime.settings import data_folder, last_bench, preferences_in, remember_bench
from benchapp.runtime.voiced_runner import VoicedRunner
from benchapp.service.errors import ABANDONED, DONE, CommandError, LeftUnfinished
from benchapp.service.signing import prover, who_makes
from benchapp.service.stock import lots_on_hand
from benchapp.terminal.guide import Unfinished, guide
from benchapp.terminal.words import clean
from benchapp.voice.announcer import Voice, voice_for
from drivers.bench_file import read_bench
from drivers.devices import open_bench
from drivers.settings import Bench
from drivers.simulated import SimulatedBench
from procedures.batch import check_batch
from procedures.model import Procedure
from procedures.quantities import MASS, quantity
from procedures.reading import read_procedure
from procedures.shelf import find, shipped

#: Who makes where no person does.
SIMULATED = "simulated hands"


@contextlib.contextmanager
def journal_in(folder: Path) -> Iterator[Journal]:
    """The journal of a data folder, closed afterwards."""
    journal = Journal(folder, wall_now)
    try:
        yield journal
    finally:
        journal.close()


def chosen(args: argparse.Namespace) -> tuple[str, float]:
    """The procedure and the size a command line asks for, checked. Raises CommandError and ProcedureError."""
    procedure = read_procedure(find(args.procedure or shipped_first())).procedure
    batch_g = size_of(args.batch_size, procedure)
    file = getattr(args, "bench", None)
    refuse_impossible(procedure, batch_g, read_bench(file) if file else None)
    return args.procedure or shipped_first(), batch_g


def run_rehearse(args: argparse.Namespace, console: Console) -> int:
    """Walk a procedure on a simulated bench."""
    folder = data_folder(args.data)
    scenario = scenario_named(args.scenario, folder) if args.scenario else None
    name = scenario.procedure if scenario else args.procedure or shipped_first()
    procedure = read_procedure(find(name)).procedure
    batch_g = size_of(args.batch_size, procedure)
    if scenario and args.batch_size is None:
        batch_g = scenario.batch_g
    refuse_impossible(procedure, batch_g, None, args.maker)
    with journal_in(folder) as journal, SimulatedBench(seed=args.seed) as bench:
        batch = journal.new_batch(today(), procedure.key)
        facts = [facts_of(d) for d in bench.bench.devices]
        # Where nobody watches, the simulated hands show what they can, and it speaks for nobody else.
        maker = args.maker if scenario is None or console.is_terminal else SIMULATED
        session = begin(
            journal, procedure, batch_g, facts, maker, batch, lambda: bench.now_s, True,
            scenario=scenario.text if scenario else "",
        )  # fmt: skip
        _announce(console, batch, procedure, batch_g, "a simulated bench")
        if scenario is None:
            return _rehearse(args, console, bench, session, procedure)
        console.print(f"Goal: {scenario.goal}", markup=False, highlight=False)
        if console.is_terminal and sys.stdin.isatty():  # read it first: it does not stand there later
            with contextlib.suppress(EOFError):
                console.input("Enter begins. ")
        _rehearse(args, console, bench, session, procedure, scenario)
        _debriefed(console, journal, batch)
        return DONE


def scenario_named(name: str, folder: Path) -> Scenario:
    """A shipped scenario, or one of the workshop's own in its folder. Raises CommandError."""
    try:
        return find_scenario(name, folder / OWN_SCENARIOS)
    except RehearsalError as error:
        raise CommandError(str(error)) from error


def _rehearse(
    args: argparse.Namespace,
    console: Console,
    bench: SimulatedBench,
    session: Session,
    procedure: Procedure,
    scenario: Scenario | None = None,
) -> int:
    rehearsal = rehearse(bench, session, procedure, args.seed, scenario=scenario)
    return _perform(args, console, rehearsal, scenario is not None)


def _perform(args: argparse.Namespace, console: Console, rehearsal: Rehearsal, practising: bool) -> int:
    pace = args.pace
    if pace is None:
        watched = SCENARIO_PACE if practising else WATCHED_PACE
        pace = watched if console.is_terminal else 0.0
    try:
        return _walk(args, RehearsalRunner(rehearsal, pace, helps=not console.is_terminal), console)
    finally:
        rehearsal.session.close()


def run_guide(args: argparse.Namespace, console: Console) -> int:
    """Walk a procedure on real ports."""
    procedure = read_procedure(find(args.procedure)).procedure
    bench = read_bench(args.bench)
    batch_g = size_of(args.batch_size, procedure)
    refuse_impossible(procedure, batch_g, bench, args.maker)
    folder = data_folder(args.data)
    with journal_in(folder) as journal:
        remember_bench(folder, Path(args.bench))
        batch = journal.new_batch(today(), procedure.key)
        passed = passed_at(folder, {d.name: d.channels for d in bench.devices})
        facts = [facts_of(d, passed.get(d.name, "")) for d in bench.devices]
        maker, role, witness = who_makes(journal, args.maker)
        session = begin(
            journal, procedure, batch_g, facts, maker, batch, make_clock(0.0), role=role, witness=witness
        )
        session.stock(lambda: lots_on_hand(journal))
        session.prove_by(prover(journal))
        _announce(console, batch, procedure, batch_g, args.bench)
        return _on_bench(args, session, bench, console)


def _on_bench(args: argparse.Namespace, session: Session, bench: Bench, console: Console) -> int:
    session.attach(open_bench(bench, session.clock, session.post))
    try:
        return _walk(args, BenchRunner(session), console)
    finally:
        session.close()


def run_resume(args: argparse.Namespace, console: Console) -> int:
    """Go on with an unfinished make, the newest unless one is named."""
    folder = data_folder(args.data)
    with journal_in(folder) as journal:
        line = _unfinished(journal, args.batch)
        stored = journal.stored(line.batch)
        if line.rehearsal:
            return _resume_rehearsal(args, console, journal, stored)
        file = Path(args.bench) if args.bench else last_bench(folder)
        if file is None:
            raise CommandError("Say which bench the make goes on with: benchapp resume --bench FILE.")
        bench = read_bench(file)
        gap_s = seconds_since(stored[-1].wall)
        session = reopen(journal, stored, gap_s, make_clock(stored[-1].event.at_s + gap_s))
        session.stock(lambda: lots_on_hand(journal))
        session.prove_by(prover(journal))
        console.print(f"Batch {line.batch} goes on where it stood.", markup=False, highlight=False)
        return _on_bench(args, session, bench, console)


def _resume_rehearsal(
    args: argparse.Namespace, console: Console, journal: Journal, stored: list[StoredEvent]
) -> int:
    with SimulatedBench(seed=args.seed) as bench:
        base = stored[-1].event.at_s
        session = reopen(journal, stored, 0.0, lambda: base + bench.now_s)
        rehearsal = take_up(bench, session, args.seed, [s.event for s in stored])
        goes_on = "goes on where it stood" if not session.make.state.over else "cannot be taken up again"
        console.print(f"Rehearsal {session.batch} {goes_on}.", markup=False, highlight=False)
        done = _perform(args, console, rehearsal, bool(practised([s.event for s in stored])))
        if practised([s.event for s in stored]):
            _debriefed(console, journal, session.batch)
            return DONE
        return done


def _debriefed(console: Console, journal: Journal, batch: str) -> None:
    try:
        lines = debrief_lines(debrief(journal.events(batch)))
    except RehearsalError as error:
        raise CommandError(str(error)) from error
    for line in lines:
        console.print(clean(line), markup=False, highlight=False, soft_wrap=not console.is_terminal)


def _unfinished(journal: Journal, wanted: str | None) -> BatchLine:
    if wanted is not None:
        line = journal.batch(wanted)
        if line.end:
            raise CommandError(f"Batch {wanted} is {line.end} already; there is nothing to go on with.")
        return line
    open_makes = sorted(journal.unfinished(), key=lambda b: b.rehearsal)
    newest = next(iter(open_makes), None)  # a real make before any rehearsal, the newest of each first
    if newest is None:
        raise CommandError("No make is unfinished here. benchapp batches lists what there is.")
    return newest


def _walk(args: argparse.Namespace, runner: Runner, console: Console) -> int:
    voice = _voice(args, console)
    try:
        moment = guide(GuidedRunner(VoicedRunner(runner, voice), args.guidance), console)
    except Unfinished as why:
        raise LeftUnfinished(str(why)) from why
    finally:
        voice.close()
    return _goodbye(runner.session, moment, console)


def _voice(args: argparse.Namespace, console: Console) -> Voice:
    """Only where it is asked for; as loud as the settings page says."""
    chosen = preferences_in(data_folder(args.data))
    wanted = args.voice and chosen.sound
    return voice_for(
        chosen.volume if wanted else 0, lambda text: console.print(text, markup=False, highlight=False)
    )


def _goodbye(session: Session, moment: Moment, console: Console) -> int:
    found = session.make.state.deviations
    count = {g: sum(1 for d in found if d.grade == g) for g in ("major", "minor", "note")}
    words = ", ".join(f"{n} {g}" for g, n in count.items() if n) or "none"
    console.print(f"{moment.face.instruction} Deviations: {words}.", markup=False, highlight=False)
    console.print(f"The record: benchapp record {session.batch}", markup=False, highlight=False)
    return ABANDONED if moment.over == "abandoned" else DONE


def _announce(console: Console, batch: str, procedure: Procedure, batch_g: float, where: str) -> None:
    text = f"Batch {batch}: {batch_g:g} g of {procedure.name} on {where}."
    console.print(text, markup=False, highlight=False)


# --- what is given -----------------------------------------------------------------------------------------


def shipped_first() -> str:
    """The procedure a rehearsal takes when none is named."""
    return "oat-hand-lotion" if "oat-hand-lotion" in shipped() else shipped()[0]


def size_of(text: str | None, procedure: Procedure) -> float:
    """The batch size in grams, from text with a unit. Raises QuantityError."""
    return procedure.default_batch_g if text is None else quantity(text, MASS)


def refuse_impossible(procedure: Procedure, batch_g: float, bench: Bench | None, maker: str = "-") -> None:
    """Raise CommandError with every reason why this much cannot be made on this bench, or by nobody."""
    if not maker.strip():
        raise CommandError("Say who makes it: --maker NAME. The record and the signature need a name.")
    scales = [] if bench is None else [
        (d.capacity_g, d.readability_g) for d in bench.of_kind("scale") if d.capacity_g and d.readability_g
    ]  # fmt: skip
    if bench is None:
        scales = [(3000.0, 0.1), (200.0, 0.01)]
    problems = [str(p) for p in check_batch(procedure, batch_g, scales) if p.grade == "error"]
    if problems:
        raise CommandError("\n".join(problems))
