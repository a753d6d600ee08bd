"""rehearse, guide and resume: the commands that walk a make."""

from __future__ import annotations

import argparse
import contextlib
import sys

from rich.console import Console

from benchapp.commands.opening import bench_service
from benchapp.commands.options import Parser, Run, batch_size, runs, simulated, substitute, terminal, voice
from benchapp.commands.output import ask_secret, say
from benchapp.commands.planning import old_and_new, size_of
from benchapp.commands.procedure_named import procedure_named
from benchapp.foundation.language import Sayable, tr
from benchapp.make.view_model import ViewModel
from benchapp.record.journal import Journal
from benchapp.rehearsal.debrief import debrief_lines
from benchapp.rehearsal.errors import RehearsalError
from benchapp.runtime.runner import Runner, guided_at, spoken_by
from benchapp.runtime.session import Session
from benchapp.runtime.settings import data_folder, preferences_in
from benchapp.service.bench_devices import BenchDevices
from benchapp.service.bench_service import BenchService
from benchapp.service.desk import Desk
from benchapp.service.errors import ABANDONED, DONE, CommandError, LeftUnfinished
from benchapp.terminal.guide import Unfinished
from benchapp.terminal.guide import guide as guide_make
from benchapp.voice.announcer import Voice, voice_for
from drivers.bench_file import read_bench
from procedures.shelf import shipped


def rehearse(one: Parser) -> None:
    """benchapp rehearse"""
    one.add_argument("procedure", nargs="?", help=tr("a shipped procedure's name or a .toml file"))
    batch_size(one)
    simulated(one)
    one.add_argument(
        "--scenario", metavar="NAME", help=tr("something goes wrong; benchapp scenarios lists what")
    )
    one.add_argument("--maker", default="rehearsal", help=tr("who makes it"))
    terminal(one)
    runs(one, _glass_or(run_rehearse))


def guide(one: Parser) -> None:
    """benchapp guide"""
    one.add_argument("procedure")
    one.add_argument("--bench", required=True, metavar="FILE", help=tr("the bench file"))
    batch_size(one)
    one.add_argument("--maker", required=True, metavar="NAME", help=tr("who makes it"))
    substitute(one)
    one.add_argument("--reason", default="", help=tr("why it is replaced"))
    one.add_argument(
        "--approved-by",
        default="",
        metavar="NAME",
        help=tr("the releaser who answers for it; the PIN is asked for"),
    )
    terminal(one)
    runs(one, _glass_or(run_guide))


def resume(one: Parser) -> None:
    """benchapp resume"""
    one.add_argument("batch", nargs="?", help=tr("which one; the newest unfinished if none is named"))
    one.add_argument("--bench", metavar="FILE", help=tr("the bench file; the one used last if none is named"))
    simulated(one)
    voice(one)
    runs(one, run_resume)


def _glass_or(run: Run) -> Run:
    """On the touchscreen where there is a display, otherwise in the terminal."""

    def act(args: argparse.Namespace, console: Console) -> int:
        from benchapp.commands.glass import has_glass, on_glass

        asked = getattr(args, "scenario", None) or getattr(args, "substitute", None)
        if asked or not has_glass(args, console):
            return run(args, console)
        return on_glass(args, _chosen(args))

    return act


def _chosen(args: argparse.Namespace) -> tuple[str, float]:
    """The procedure and the size a command line asks for, checked. Raises CommandError and ProcedureError."""
    name = args.procedure or shipped_first()
    procedure = procedure_named(args, name)
    batch_g = size_of(args.batch_size, procedure)
    file = getattr(args, "bench", None)
    BenchDevices(read_bench(file) if file else None, None).require_possible(procedure, batch_g)
    return name, batch_g


def run_rehearse(args: argparse.Namespace, console: Console) -> int:
    """Walk a procedure on a simulated bench."""
    with bench_service(args, console.is_terminal) as (bench, journal):
        if args.scenario:
            return _practise(args, console, bench, journal)
        name = args.procedure or shipped_first()
        runner = bench.rehearse(name, size_of(args.batch_size, bench.procedure(name)))
        _announce(console, runner.session, "")
        return _walk(args, runner, console)


def _practise(args: argparse.Namespace, console: Console, bench: BenchService, journal: Journal) -> int:
    try:
        scenario = bench.scenario(args.scenario)
        batch_g = args.batch_size and size_of(args.batch_size, bench.procedure(scenario.procedure))
        runner = bench.practise(args.scenario, batch_g=batch_g)
    except RehearsalError as error:
        raise CommandError(str(error)) from error
    _announce(console, runner.session, "")
    console.print(tr("Goal: {goal}", goal=scenario.goal), markup=False, highlight=False)
    if (
        console.is_terminal and sys.stdin is not None and sys.stdin.isatty()
    ):  # read it first: it does not stand there later
        with contextlib.suppress(EOFError):
            console.input(tr("Enter begins. "))
    _walk(args, runner, console)
    return _debriefed(console, journal, runner.session.batch)


def run_guide(args: argparse.Namespace, console: Console) -> int:
    """Walk a procedure on real ports."""
    with bench_service(args) as (bench, _):
        batch_g = size_of(args.batch_size, bench.procedure(args.procedure))
        if args.substitute:
            found = bench.substituted(args.procedure, *old_and_new(args.substitute))
            for sentence in found.to_look_at:
                say(console, tr("look at: {sentence}", sentence=sentence))
            say(console, bench.substitute(found, args.reason, args.approved_by, ask_secret))
        runner = bench.begin(args.procedure, batch_g)
        _announce(console, runner.session, args.bench)
        say(console, bench.desk().version_words(bench.procedure(args.procedure)))
        return _walk(args, runner, console)


def run_resume(args: argparse.Namespace, console: Console) -> int:
    """Go on with an unfinished make, the newest unless one is named."""
    with bench_service(args, console.is_terminal) as (bench, journal):
        line = bench.makes.unfinished() if args.batch is None else journal.batch(args.batch)
        if line is None:
            raise CommandError(tr("No make is unfinished here. benchapp batches lists what there is."))
        session = (runner := bench.resume(line.batch)).session
        what = "Rehearsal" if session.rehearsing else "Batch"
        goes_on = (
            tr("goes on where it stood") if not session.make.state.over else tr("cannot be taken up again")
        )
        console.print(f"{what} {line.batch} {goes_on}.", markup=False, highlight=False)
        done = _walk(args, runner, console)
        started = session.make.state.started
        practised = started is not None and started.scenario
        return _debriefed(console, journal, line.batch) if practised else done


def _debriefed(console: Console, journal: Journal, batch: str) -> int:
    for line in debrief_lines(Desk(journal).debriefing(batch)):
        say(console, line)
    return DONE


def _walk(args: argparse.Namespace, runner: Runner, console: Console) -> int:
    voice = _voice(args, console)
    try:
        runner.hooks += [spoken_by(voice), guided_at(args.guidance)]
        view = guide_make(runner, console)
    except Unfinished as why:
        raise LeftUnfinished(str(why)) from why
    finally:
        voice.close()
    return _goodbye(runner.session, view, console)


def _voice(args: argparse.Namespace, console: Console) -> Voice:
    """Only where it is asked for; as loud as the settings page says."""
    chosen = preferences_in(data_folder(args.data))
    wanted = args.voice and chosen.sound
    return voice_for(
        chosen.volume if wanted else 0, lambda text: console.print(text, markup=False, highlight=False)
    )


def _goodbye(session: Session, view: ViewModel, console: Console) -> int:
    found = session.make.state.deviations
    count = {g: sum(1 for d in found if d.grade == g) for g in ("major", "minor", "note")}
    words = ", ".join(f"{n} {g}" for g, n in count.items() if n) or "none"
    console.print(
        tr("{instruction} Deviations: {words}.", instruction=view.act_view.instruction, words=words),
        markup=False,
        highlight=False,
    )
    console.print(
        tr("The record: benchapp record {batch}", batch=session.batch), markup=False, highlight=False
    )
    return ABANDONED if view.over == "abandoned" else DONE


def _announce(console: Console, session: Session, where: str) -> None:
    plan = session.make.plan
    made: dict[str, Sayable] = {"batch": session.batch, "batch_g": plan.batch_g, "name": plan.procedure.name}
    say(
        console,
        tr("Batch {batch}: {batch_g:g} g of {name} on {where}.", where=where, **made)
        if where
        else tr("Batch {batch}: {batch_g:g} g of {name} on a simulated bench.", **made),
    )


def shipped_first() -> str:
    """The procedure a rehearsal takes when none is named."""
    return "oat-hand-lotion" if "oat-hand-lotion" in shipped() else shipped()[0]
