"""A make walked in the terminal: rehearsed, guided on real ports, gone on with."""

from __future__ import annotations

import argparse
import contextlib
import sys

from rich.console import Console

from benchapp.commands.opening import bench_service
from benchapp.commands.output import ask_secret, say, say_look_at
from benchapp.commands.planning import old_and_new, size_of
from benchapp.events.grades import grades_in_words
from benchapp.foundation.language import Sayable, tr
from benchapp.make.view_model import ViewModel
from benchapp.record.journal import Journal
from benchapp.rehearsal.debrief import debrief_lines
from benchapp.runtime.runner import Runner, guided_at, spoken_by
from benchapp.runtime.session import Session
from benchapp.runtime.settings import data_folder, preferences_in
from benchapp.service.bench_service import BenchService
from benchapp.service.desk import Desk
from benchapp.service.errors import ABANDONED, DONE, LeftUnfinished
from benchapp.terminal.guide import Unfinished
from benchapp.terminal.guide import guide as guide_make
from benchapp.voice.announcer import Voice, voice_for


def walk_rehearsal(args: argparse.Namespace, console: Console, name: str) -> int:
    """Walk a procedure, or the scenario that is asked for, on a simulated bench."""
    with bench_service(args, console.is_terminal) as (bench, journal):
        if args.scenario:
            return _practise(args, console, bench, journal)
        runner = bench.rehearse(name, size_of(args.batch_size, bench.procedure(name)))
        _announce(console, runner.session, "")
        _say_unread(console, bench)
        return _walk(args, runner, console)


def _practise(args: argparse.Namespace, console: Console, bench: BenchService, journal: Journal) -> int:
    scenario = bench.scenario(args.scenario)
    batch_g = args.batch_size and size_of(args.batch_size, bench.procedure(scenario.procedure))
    runner = bench.practise(args.scenario, batch_g=batch_g)
    _announce(console, runner.session, "")
    say(console, tr("Goal: {goal}", goal=scenario.goal))
    if (
        console.is_terminal and sys.stdin is not None and sys.stdin.isatty()
    ):  # read it first: it does not stand there later
        with contextlib.suppress(EOFError):
            console.input(tr("Enter begins. "))
    _walk(args, runner, console)
    return _debriefed(console, journal, runner.session.batch)


def walk_guided(args: argparse.Namespace, console: Console) -> int:
    """Walk a procedure on real ports."""
    with bench_service(args) as (bench, _):
        batch_g = size_of(args.batch_size, bench.procedure(args.procedure))
        if args.substitute:
            found = bench.substituted(args.procedure, *old_and_new(args.substitute))
            say_look_at(console, found.to_look_at)
            say(console, bench.substitute(found, args.reason, args.approved_by, ask_secret))
        runner = bench.begin(args.procedure, batch_g)
        _announce(console, runner.session, args.bench)
        say(console, bench.desk().version_words(bench.procedure(args.procedure)))
        _say_unread(console, bench)
        return _walk(args, runner, console)


def walk_on(args: argparse.Namespace, console: Console, batch: str) -> int:
    """Go on with an unfinished make."""
    with bench_service(args, console.is_terminal) as (bench, journal):
        session = (runner := bench.resume(batch)).session
        say(console, _goes_on(session))
        _say_unread(console, bench)
        done = _walk(args, runner, console)
        started = session.make.state.started
        practised = started is not None and started.scenario
        return _debriefed(console, journal, batch) if practised else done


def _say_unread(console: Console, bench: BenchService) -> None:
    for sentence in bench.makes.unread:
        say(console, sentence)


def _goes_on(session: Session) -> str:
    if session.make.state.over:
        return tr("Batch {batch} cannot be taken up again.", batch=session.batch)
    if session.rehearsing:
        return tr("Rehearsal {batch} goes on where it stood.", batch=session.batch)
    return tr("Batch {batch} goes on where it stood.", batch=session.batch)


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
    words = grades_in_words(d.grade for d in session.make.state.deviations)
    say(console, tr("{instruction} Deviations: {words}.", instruction=view.act_view.instruction, words=words))
    say(console, tr("The record: benchapp record {batch}", batch=session.batch))
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
