"""check, plan, batches and trends: the commands that only look."""

from __future__ import annotations

import argparse
from pathlib import Path

from rich.console import Console
from rich.table import Table
from rich.text import Text

from benchapp.calculations.control_chart import individuals_chart, signals
from benchapp.commands.making import journal_in, size_of
from benchapp.make.law import label_lines, limit_lines
from benchapp.make.plan import decimals_of
from benchapp.runtime.settings import data_folder
from benchapp.service.bench_devices import BenchDevices
from benchapp.service.errors import DONE, REFUSED, CommandError
from benchapp.service.training import looked_back
from benchapp.terminal.words import clean
from drivers.bench_file import read_bench
from procedures.errors import ProcedureError, ProcedureInvalid
from procedures.reading import read_procedure
from procedures.shelf import find


def run_check(args: argparse.Namespace, console: Console) -> int:
    """Read each file and say everything that is wrong with it."""
    bad = False
    for name in args.files:
        if _is_bench_file(name):
            bench = read_bench(name)
            _say(
                console,
                f"{name}: a bench of {len(bench.devices)} devices, {', '.join(d.name for d in bench.devices)}.",
            )
            continue
        try:
            checked = read_procedure(find(Path(name) if name.endswith(".toml") else name))
        except ProcedureInvalid as error:
            bad = True
            for problem in error.problems:
                _say(console, f"{problem.grade}: {problem}")
            continue
        except ProcedureError as error:
            bad = True
            _say(console, f"error: {error}")
            continue
        for problem in checked.warnings:
            _say(console, f"warning: {problem}")
        _say(console, f"{name}: {checked.procedure.name} can be made.")
    return REFUSED if bad else DONE


def _is_bench_file(name: str) -> bool:
    """Whether a file speaks of devices and of no formula: a bench file is checked as one."""
    path = Path(name)
    if not name.endswith(".toml") or not path.is_file():
        return False
    text = path.read_text(encoding="utf-8", errors="replace")
    return "[[device]]" in text and "[formula]" not in text


def run_plan(args: argparse.Namespace, console: Console) -> int:
    """The weigh sheet of a batch."""
    procedure = read_procedure(find(args.procedure)).procedure
    batch_g = size_of(args.batch_size, procedure)
    bench = read_bench(args.bench) if args.bench else None
    devices = BenchDevices(bench, None)
    problems = devices.impossible(procedure, batch_g)
    if problems:
        raise CommandError("\n".join(problems))
    plan = devices.plan(procedure, batch_g)
    table = Table(title=f"{clean(procedure.name)}, {batch_g:g} g")
    for name in ("phase", "ingredient", "grams", "from", "to", "vessel", "scale"):
        table.add_column(name, justify="right" if name in ("grams", "from", "to") else "left")
    for w in plan.weighings.values():
        digits = decimals_of(w.device)
        numbers = (f"{g:.{digits}f}" for g in (w.target_g, w.low_g, w.high_g))
        scale = w.device.name if w.device else "by hand"
        vessel = procedure.vessels[w.vessel].name if w.vessel else ""
        table.add_row(*(Text(clean(c)) for c in (w.line.phase, w.line.name, *numbers, vessel, scale)))
    console.print(table)
    for warning in plan.warnings:
        _say(console, f"warning: {warning}")
    for problem in devices.problems(procedure, batch_g):
        if problem.grade == "warning":
            _say(console, f"warning: {problem}")
    for text in (*label_lines(procedure), *limit_lines(procedure)):
        _say(console, text)
    if bench is None:
        scales = (f"{d.capacity_g:g} g × {d.readability_g:g} g" for d in devices.devices if d.kind == "scale")
        _say(console, f"No bench given: planned for the simulated one ({', '.join(scales)}).")
    return DONE


def run_batches(args: argparse.Namespace, console: Console) -> int:
    """All batches, newest first."""
    with journal_in(data_folder(args.data)) as journal:
        lines = journal.batches()
        said = looked_back(journal, lines, {})
    if not lines:
        _say(console, "No batch is recorded here yet.")
        return DONE
    table = Table()
    for name in ("batch", "procedure", "grams", "maker", "begun", "", "product g"):
        table.add_column(name)
    for b in lines:
        end = b.end or "unfinished"
        kind = (
            f"practised: {said[b.batch]}" if b.batch in said else f"{end}, rehearsal" if b.rehearsal else end
        )
        product = "" if b.product_g is None else f"{b.product_g:.1f}"
        cells = (b.batch, b.procedure, f"{b.batch_g:g}", b.maker, b.wall[:16], kind, product)
        table.add_row(*(Text(clean(c)) for c in cells))
    console.print(table)
    return DONE


def run_trends(args: argparse.Namespace, console: Console) -> int:
    """Yield of every finished batch of a procedure on an individuals chart, and what drifts."""
    with journal_in(data_folder(args.data)) as journal:
        found = [b for b in journal.batches() if b.procedure == args.procedure and b.product_g is not None]
        found = [b for b in reversed(found) if b.rehearsal == args.rehearsals]
    values = [100 * (b.product_g or 0.0) / b.batch_g for b in found]
    if len(values) < 3:
        raise CommandError(
            f"A chart needs at least 3 finished batches of {args.procedure}; there are {len(values)}."
        )
    chart = individuals_chart(values)
    early = ", provisional: there are few batches" if chart.provisional else ""
    _say(console, f"Yield of {len(values)} batches: centre {chart.centre:.2f} %, "
                  f"limits {chart.lower:.2f} to {chart.upper:.2f} %{early}")  # fmt: skip
    fired = {s.index: s for s in signals(values, chart)}
    for n, (batch, value) in enumerate(zip(found, values, strict=True)):
        word = f"  {fired[n].rule}: {fired[n].meaning}" if n in fired else ""
        _say(console, f"{batch.batch}  {value:.2f} %{word}")
    return DONE


def _say(console: Console, text: str) -> None:
    console.print(clean(text), markup=False, highlight=False, soft_wrap=True)
