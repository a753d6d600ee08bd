"""check and plan: procedures looked at before anything is made."""

from __future__ import annotations

import argparse
import math
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console

from benchapp.commands.options import Parser, batch_size, runs, substitute
from benchapp.commands.output import say, say_look_at, warned
from benchapp.commands.procedure_named import arrived_in, procedure_named
from benchapp.foundation.language import number, tr, translated
from benchapp.foundation.text_files import NoTextFile, read_text_file
from benchapp.runtime.settings import data_folder
from benchapp.service.errors import DONE, REFUSED, CommandError
from benchapp.service.market import law_in
from benchapp.service.own_procedures import read_named
from benchapp.terminal.plain import clean
from procedures.errors import ProcedureError, ProcedureInvalid
from procedures.model import Procedure
from procedures.quantities import MASS, quantity

if TYPE_CHECKING:
    from rich.console import JustifyMethod

    from benchapp.make.plan import Plan


def check(one: Parser) -> None:
    """benchapp check"""
    one.add_argument("files", nargs="+", metavar="FILE")
    runs(one, run_check)


def plan(one: Parser) -> None:
    """benchapp plan"""
    one.add_argument("procedure")
    batch_size(one)
    one.add_argument("--bench", metavar="FILE", help=tr("plan for the scales of this bench file"))
    substitute(one)
    runs(one, run_plan)


def size_of(text: str | None, procedure: Procedure) -> float:
    """The batch size in grams, from text with a unit. Raises QuantityError."""
    return procedure.default_batch_g if text is None else quantity(text, MASS)


def run_check(args: argparse.Namespace, console: Console) -> int:
    """Read each file and say everything that is wrong with it, and what the law's tables say and do not."""
    from benchapp.make.law import limit_lines

    folder = data_folder(args.data)
    bad, law, arrived = False, law_in(folder), arrived_in(folder)
    for name in args.files:
        if _is_bench_file(name):
            from drivers.bench_file import read_bench

            bench = read_bench(name)
            say(
                console,
                tr(
                    "{name}: a bench of {count} devices, {names}.",
                    name=name,
                    count=len(bench.devices),
                    names=", ".join(d.name for d in bench.devices),
                ),
            )
            continue
        try:
            checked = read_named(name, folder, arrived)
        except ProcedureInvalid as error:
            bad = True
            for sentence in error.sentences(graded=True):
                say(console, sentence)
            continue
        except ProcedureError as error:
            bad = True
            say(console, tr("error: {error}", error=error))
            continue
        for problem in checked.warnings:
            say(console, warned(problem))
        for text in limit_lines(checked.procedure, law=law):
            say(console, text)
        say(console, tr("{name}: {name_2} can be made.", name=name, name_2=checked.procedure.name))
    return REFUSED if bad else DONE


def _is_bench_file(name: str) -> bool:
    """Whether a file speaks of devices and of no formula: a bench file is checked as one."""
    path = Path(name)
    if not name.endswith(".toml") or not path.is_file():
        return False
    try:
        text = read_text_file(path)
    except (NoTextFile, OSError):
        return False  # whoever reads it as a procedure says why it cannot be read
    return "[[device]]" in text and "[formula]" not in text


def run_plan(args: argparse.Namespace, console: Console) -> int:
    """The weigh sheet of a batch."""
    from benchapp.make.law import label_lines, limit_lines
    from benchapp.service.bench_devices import BenchDevices
    from drivers.bench_file import read_bench

    procedure = procedure_named(args, args.procedure)
    if args.substitute:
        procedure = _with_substitute(args, procedure, console)
    batch_g = size_of(args.batch_size, procedure)
    bench = read_bench(args.bench) if args.bench else None
    devices = BenchDevices(bench, None)
    devices.require_possible(procedure, batch_g)
    planned = devices.weigh_sheet(procedure, batch_g)
    _show(planned, console)
    for warning in planned.warnings:
        say(console, warned(warning))
    for problem in devices.problems(procedure, batch_g):
        if problem.grade == "warning":
            say(console, warned(problem))
    for text in (*label_lines(procedure), *limit_lines(procedure, law=law_in(data_folder(args.data)))):
        say(console, text)
    if bench is None:
        scales = (
            f"{number(d.capacity_g or 0.0)} g × {number(d.readability_g or 0.0)} g"
            for d in devices.devices()
            if d.kind == "scale"
        )
        say(console, tr("No bench given: planned for the simulated one ({names}).", names=", ".join(scales)))
    return DONE


def old_and_new(text: str) -> tuple[str, str]:
    """The two names of --substitute. Raises CommandError."""
    old, equals, new = text.partition("=")
    if not equals or not old.strip() or not new.strip():
        raise CommandError(tr('Write it as --substitute "Sunflower oil=Rapeseed oil".'))
    return old.strip(), new.strip()


def _with_substitute(args: argparse.Namespace, procedure: Procedure, console: Console) -> Procedure:
    """With the other material in it, and what has to be looked at said."""
    from benchapp.service.substitution import substituted

    folder = data_folder(args.data)
    found = substituted(procedure, *old_and_new(args.substitute), folder, law_in(folder))
    say(
        console,
        tr("{words}, in this batch alone; it wants a reason and a releaser.", words=found.substitution.words),
    )
    say_look_at(console, found.to_look_at)
    return found.made


def _show(planned: Plan, console: Console) -> None:
    from rich import box
    from rich.table import Table
    from rich.text import Text

    from benchapp.make.plan import decimals_of

    title = f"{clean(planned.procedure.name)}, {number(planned.batch_g)} g"
    table = Table(title=title, box=box.SIMPLE, padding=(0, 1, 0, 0), pad_edge=False)
    for name in ("phase", "ingredient", "grams", "from", "to", "vessel", "scale"):
        side: JustifyMethod = "right" if name in ("grams", "from", "to") else "left"
        table.add_column(translated(name), justify=side, overflow="fold")  # no name is cut short
    for w in planned.weighings.values():
        digits = decimals_of(w.device)
        numbers = (number(g, f".{digits}f") for g in (w.target.grams, *w.target.band.shown(digits)))
        scale = w.device.name if w.device else tr("by hand")
        vessel = planned.procedure.vessels[w.vessel].name if w.vessel else ""
        table.add_row(*(Text(clean(c)) for c in (w.line.phase, w.line.name, *numbers, vessel, scale)))
    whole = number(math.fsum(w.target.grams for w in planned.weighings.values()), ".1f")
    table.add_section()
    table.add_row("", tr("in all"), whole)
    console.print(table)
