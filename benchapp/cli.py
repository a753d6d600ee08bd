"""The command line: reads it, runs the command, and turns every expected error into one sentence."""

from __future__ import annotations

import argparse
import contextlib
import importlib
import io
import os
import signal
import sys
import threading
from collections.abc import Sequence

from benchapp.foundation.catalogues import LanguageRefused
from benchapp.foundation.language import tr, tr_noop
from benchapp.recipes.errors import RecipeError
from benchapp.record.errors import DocumentRefused, NoSuchBatch, NoSuchLot, NotAllowed, RecordError
from benchapp.rehearsal.errors import RehearsalError
from benchapp.service.errors import NO_RECORD, REFUSED, UNFINISHED, CommandError
from benchapp.terminal.plain import clean
from drivers.errors import DriverError
from procedures.errors import ProcedureError

#: Every command: the file of benchapp/commands whose function of the same name adds its options, and what it is for.
#: Only the file of the command that is given is loaded.
COMMANDS = {
    "screen": ("glass", tr_noop("the bench on the touchscreen")),
    "rehearse": ("making", tr_noop("walk a procedure on a simulated bench")),
    "guide": ("making", tr_noop("walk a procedure on the devices of a bench file")),
    "resume": ("making", tr_noop("go on with an unfinished make")),
    "listen": ("listening", tr_noop("find devices: serial ports, USB scales, thermometers")),
    "bench-check": (
        "checking",
        tr_noop("hold a device against a known mass, ice, boiling water or a buffer"),
    ),
    "check": ("planning", tr_noop("check procedure files")),
    "plan": ("planning", tr_noop("the weigh sheet of a batch")),
    "batches": ("looking", tr_noop("list what was made")),
    "trends": ("looking", tr_noop("a procedure's yields on a control chart")),
    "lot": ("lots", tr_noop("deliveries: receive, open, price, judge, count, list")),
    "cost": ("costing", tr_noop("what a batch cost, or would cost in another size")),
    "needs": ("costing", tr_noop("what planned batches need, and what runs out first")),
    "pack": ("lots", tr_noop("packaging or labels drawn for a batch")),
    "person": ("people", tr_noop("who may sign: enrol, retire, pin, list")),
    "due": ("releasing", tr_noop("release checks that wait for somebody")),
    "batch-check": ("releasing", tr_noop("write down the result of a release check")),
    "close-deviation": ("releasing", tr_noop("accept an open deviation, with the reason")),
    "retain": ("releasing", tr_noop("containers kept back with the batch")),
    "release": ("releasing", tr_noop("where a batch stands, or the decision about it")),
    "dispatch": ("releasing", tr_noop("containers of a released batch leave")),
    "trace": ("tracing", tr_noop("where a lot went, or what is in a batch or a container")),
    "recall": ("tracing", tr_noop("whom to call about a lot; times itself, for drills too")),
    "verify": ("keeping", tr_noop("whether anything in the record was altered")),
    "backup": ("keeping", tr_noop("a copy of the whole journal, while others may write")),
    "workshop": (
        "several_benches",
        tr_noop("several benches, one workshop: prepare, add, join, leave, status, sync, rebuild"),
    ),
    "language": ("languages", tr_noop("which language people read, and which the record is written in")),
    "upkeep": ("upkeep", tr_noop("whether machine, devices, clock and copies are in order, and what to do")),
    "care": ("aftercare", tr_noop("calibration and cleaning: plan, done, list")),
    "complaint": ("aftercare", tr_noop("what customers say of a batch: receive, answer, list")),
    "correct": ("keeping", tr_noop("say that something written was wrong; it stays")),
    "record": ("documents", tr_noop("one batch's record, on screen, in a file or on paper")),
    "compare": ("documents", tr_noop("two batches side by side")),
    "master": ("masters", tr_noop("versions of a procedure: list, compare, approve, withdraw")),
    "approve-label": ("labelling", tr_noop("draft a procedure's label, or approve one")),
    "label": ("labelling", tr_noop("hold a batch against its approved label, or print labels")),
    "recipe": (
        "recipes",
        tr_noop("a recipe of your own: begin, bring in from a sheet, change, give it a method, save"),
    ),
    "material": ("materials", tr_noop("the shelf of materials: list, show, set, take-over, touches")),
    "scenarios": ("scenarios", tr_noop("what can be rehearsed")),
    "debrief": ("training", tr_noop("a rehearsal looked back on")),
    "competence": ("training", tr_noop("who may do what, since when: show, grant")),
}


#: What says in its own sentence that something given cannot be used.
REFUSALS = (
    DocumentRefused, DriverError, LanguageRefused, NoSuchBatch, NoSuchLot, NotAllowed, ProcedureError, RecipeError,
    RehearsalError,
)  # fmt: skip
#: The exit code for a command line that is not understood: argparse's own.
NOT_UNDERSTOOD = 2


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit code (see benchapp.service.errors)."""
    os.umask(0o077)  # what is written here is its user's own: journal, settings, exports
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # an output without ° or é: spelled out, not lost
    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGTERM, _stop)
    try:
        try:
            return _run(list(sys.argv[1:] if argv is None else argv))
        finally:
            if sys.stdout is not None:
                sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read us has gone. What was recorded is on the disk; nothing more can be said there.
        _say_no_more()
        return UNFINISHED
    except OSError as error:
        _say_no_more()
        where = (
            tr("{filename} cannot be used", filename=error.filename)
            if error.filename
            else tr("The output cannot be written")
        )
        return _sentence(
            tr(
                "{where} ({strerror}). What was recorded is on the disk.",
                where=where,
                strerror=error.strerror or error,
            ),
            REFUSED,
        )
    except KeyboardInterrupt:
        return _sentence(tr("Stopped here. What was recorded is on the disk."), UNFINISHED)


class _Ended(KeyboardInterrupt):
    """SIGTERM. Not KeyboardInterrupt itself: where that passes through ``exec``, and classes are loaded by it, the
    interpreter ends with SIGINT at last, whatever exit code it is given."""


def _stop(*_: object) -> None:
    """Whoever ends the program ends it as a person would, so that everything is put in order; a second time, at once."""
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    raise _Ended


def _say_no_more() -> None:
    """What still waits to be written would only raise the same error once more on the way out."""
    with contextlib.suppress(OSError, ValueError):  # an output of a test has no number
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _speak(given_words: list[str]) -> None:
    """In the language that was chosen for the data folder that is named, from the first word of help on."""
    from benchapp.runtime.languages import speak_as_chosen
    from benchapp.runtime.settings import data_folder, preferences_in

    only = argparse.ArgumentParser(add_help=False, exit_on_error=False)
    only.add_argument("--data", nargs="?")
    why = speak_as_chosen(
        preferences_in(folder := data_folder(only.parse_known_args(given_words)[0].data)), folder
    )
    if why:
        sys.stderr.write(f"{why}\n")


def _run(given_words: list[str]) -> int:
    _speak(given_words)
    given_words = given_words or ["--help"]
    if not given_words[0].startswith("-") and given_words[0] not in COMMANDS:
        return _sentence(_no_command(given_words[0]), NOT_UNDERSTOOD)
    args = parser(given_words[:1]).parse_args(given_words)
    for name, given in vars(args).items():
        if isinstance(given, str) and not given.isprintable():
            return _sentence(
                tr(
                    "{replace}: {clean} holds a character that cannot be shown.",
                    replace=name.replace("_", "-"),
                    clean=clean(given),
                ),
                REFUSED,
            )
    from benchapp.commands.output import paper

    try:
        return int(args.run(args, paper()))
    except CommandError as error:
        return _sentence(str(error), error.code)
    except REFUSALS as error:
        return _sentence(str(error), REFUSED)
    except RecordError as error:
        return _sentence(str(error), NO_RECORD)


def _no_command(word: str) -> str:
    """What is said of a command that is none."""
    import difflib

    near = difflib.get_close_matches(word, COMMANDS, 1)
    if near:
        return tr('There is no command "{word}". Did you mean benchapp {near}?', word=word, near=near[0])
    return tr('There is no command "{word}". benchapp --help names them all.', word=word)


def _sentence(text: str, code: int) -> int:
    with contextlib.suppress(OSError):  # where even that cannot be said, the exit code says it
        for line in text.splitlines():
            print(_broken(clean(line)), file=sys.stderr)
    return code


def _broken(line: str) -> str:
    """On a terminal, between words: it would break in the middle of one. No path or command is cut."""
    if not sys.stderr.isatty():
        return line
    import shutil
    import textwrap

    width = shutil.get_terminal_size().columns
    return "\n".join(textwrap.wrap(line, width, break_long_words=False, break_on_hyphens=False))


def parser(with_options: Sequence[str] = tuple(COMMANDS)) -> argparse.ArgumentParser:
    """All commands; those in ``with_options`` with their options, which loads what they need."""
    top = argparse.ArgumentParser(
        prog="benchapp",
        description=tr(
            "Walks a maker through a batch, reading the scale and the thermometers, and writes the record."
        ),
        epilog=tr(
            "Exit codes: 0 done, 2 command line not understood, 3 something given cannot be "
            "used, 4 make abandoned, 5 make left unfinished, 6 record cannot be written or read, "
            "7 something has to be done."
        ),
    )
    commands = top.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for name, (file, words) in COMMANDS.items():
        one = commands.add_parser(name, help=tr(words), description=tr(words))
        if name in with_options:
            add_options = getattr(
                importlib.import_module(f"benchapp.commands.{file}"), name.replace("-", "_")
            )
            add_options(one)
    return top


if __name__ == "__main__":
    sys.exit(main())
