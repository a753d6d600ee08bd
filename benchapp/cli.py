"""The command line: reads it, runs the command, and turns every expected error into one sentence."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence

from rich.console import Console

from benchapp.commands.glass import has_glass, on_glass, run_screen
from benchapp.record.errors import DocumentRefused, NoSuchBatch, NoSuchLot, NotAllowed, RecordError
from benchapp.service.errors import NO_RECORD, REFUSED, UNFINISHED, CommandError
from benchapp.terminal.words import clean
from drivers.errors import DriverError
from procedures.errors import ProcedureError

#: How wide tables are drawn into a pipe.
PIPE_COLUMNS = 200


class Paper(Console):
    """A console that tells when nobody reads any more, so that the make is left in order."""

    def on_broken_pipe(self) -> None:
        """Instead of ending the process on the spot."""
        raise BrokenPipeError


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit code (see benchapp.service.errors)."""
    given_words = list(sys.argv[1:] if argv is None else argv)
    args = parser(only_screen=given_words[:1] == ["screen"]).parse_args(given_words)
    for name, given in vars(args).items():
        if isinstance(given, str) and not given.isprintable():
            return _sentence(
                f"{name.replace('_', '-')}: {clean(given)} holds a character that cannot be shown.", REFUSED
            )
    console: Console = Paper()
    if not console.is_terminal:
        console = Paper(width=PIPE_COLUMNS)  # nothing is cut short for a reader that has no edge
    try:
        return int(args.run(args, console))
    except BrokenPipeError:
        # Whoever read us has gone. What was recorded is on the disk; nothing more can be said there.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return UNFINISHED
    except CommandError as error:
        return _sentence(str(error), error.code)
    except (ProcedureError, DriverError, DocumentRefused, NoSuchBatch, NoSuchLot, NotAllowed) as error:
        return _sentence(str(error), REFUSED)
    except RecordError as error:
        return _sentence(str(error), NO_RECORD)


def _sentence(text: str, code: int) -> int:
    for line in text.splitlines():
        print(clean(line), file=sys.stderr)
    return code


def parser(only_screen: bool = False) -> argparse.ArgumentParser:
    """All commands and their options. ``only_screen``: just that one, so that the glass lights up before anything
    else is loaded."""
    top = argparse.ArgumentParser(
        prog="benchapp",
        description="Walks a maker through a batch, reading the scale and the thermometers, and writes the record.",
        epilog="Exit codes: 0 done, 2 command line not understood, 3 something given cannot be used, "
        "4 make abandoned, 5 make left unfinished, 6 record cannot be written or read.",
    )
    commands = top.add_subparsers(dest="command", required=True, metavar="COMMAND")
    _screen(commands)
    if only_screen:
        return top
    from benchapp.commands.documents import add_document_commands
    from benchapp.commands.keeping import add_keeping_commands
    from benchapp.commands.labelling import add_label_commands
    from benchapp.commands.lots import add_lot_commands
    from benchapp.commands.people import add_person_commands
    from benchapp.commands.releasing import add_release_commands
    from benchapp.commands.tracing import add_tracing_commands
    from benchapp.commands.training import add_training_commands

    _making(commands)
    _looking(commands)
    for add in (add_lot_commands, add_person_commands, add_release_commands, add_tracing_commands,
                add_keeping_commands, add_document_commands, add_label_commands, add_training_commands):  # fmt: skip
        add(commands)
    return top


def _screen(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    one = commands.add_parser("screen", help="the bench on the touchscreen")
    one.add_argument("--bench", metavar="FILE", help="the bench file; without one the bench is simulated")
    one.add_argument("--maker", default="rehearsal", metavar="NAME", help="who makes")
    one.add_argument("--fullscreen", action="store_true")
    _simulated(one)
    _data(one)
    one.set_defaults(run=run_screen)


def _making(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    from benchapp.commands.making import run_guide, run_rehearse, run_resume

    one = commands.add_parser("rehearse", help="walk a procedure on a simulated bench")
    one.add_argument("procedure", nargs="?", help="a shipped procedure's name or a .toml file")
    _batch(one)
    _simulated(one)
    one.add_argument("--scenario", metavar="NAME", help="something goes wrong; benchapp scenarios lists what")
    one.add_argument("--maker", default="rehearsal", help="who makes it")
    _data(one)
    _terminal(one)
    one.set_defaults(run=_glass_or(run_rehearse))

    one = commands.add_parser("guide", help="walk a procedure on the devices of a bench file")
    one.add_argument("procedure")
    one.add_argument("--bench", required=True, metavar="FILE", help="the bench file")
    _batch(one)
    one.add_argument("--maker", required=True, metavar="NAME", help="who makes it")
    _data(one)
    _terminal(one)
    one.set_defaults(run=_glass_or(run_guide))

    one = commands.add_parser("resume", help="go on with an unfinished make")
    one.add_argument("batch", nargs="?", help="which one; the newest unfinished if none is named")
    one.add_argument("--bench", metavar="FILE", help="the bench file; the one used last if none is named")
    _simulated(one)
    _data(one)
    _voice(one)
    one.set_defaults(run=run_resume)


def _glass_or(
    run: Callable[[argparse.Namespace, Console], int],
) -> Callable[[argparse.Namespace, Console], int]:
    """On the touchscreen where there is a display, otherwise in the terminal."""

    def act(args: argparse.Namespace, console: Console) -> int:
        if getattr(args, "scenario", None) or not has_glass(args, console):
            return run(args, console)
        from benchapp.commands.making import chosen

        return on_glass(args, chosen(args), None)

    return act


def _terminal(one: argparse.ArgumentParser) -> None:
    one.add_argument("--terminal", action="store_true", help="in the terminal, even where there is a display")
    _voice(one)


def _voice(one: argparse.ArgumentParser) -> None:
    from benchapp.make.guidance import LEVELS

    one.add_argument(
        "--guidance", choices=LEVELS, default="normal", help="how much is said in the terminal at each step"
    )
    one.add_argument("--voice", action="store_true", help="speak and sound in the terminal, too")


def _looking(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    from benchapp.commands.listening import run_listen
    from benchapp.commands.looking import run_batches, run_check, run_plan, run_trends

    one = commands.add_parser("listen", help="find devices on serial ports")
    one.add_argument("ports", nargs="*", metavar="PORT", help="only these; also socket:// and rfc2217://")
    one.add_argument("--baud", type=int, action="append", help="only this speed (may be given again)")
    one.add_argument("--seconds", type=float, default=3.0, help="how long at each speed")
    one.add_argument("--formats", metavar="FOLDER", help="a folder with line formats of your own")
    one.add_argument("--write", metavar="FILE", help="add the device to this bench file")
    one.add_argument("--name", help="what the device is called there")
    one.set_defaults(run=run_listen)

    one = commands.add_parser("check", help="check procedure files")
    one.add_argument("files", nargs="+", metavar="FILE")
    one.set_defaults(run=run_check)

    one = commands.add_parser("plan", help="the weigh sheet of a batch")
    one.add_argument("procedure")
    _batch(one)
    one.add_argument("--bench", metavar="FILE", help="plan for the scales of this bench file")
    one.set_defaults(run=run_plan)

    one = commands.add_parser("batches", help="list what was made")
    _data(one)
    one.set_defaults(run=run_batches)

    one = commands.add_parser("trends", help="a procedure's yields on a control chart")
    one.add_argument("procedure")
    one.add_argument("--rehearsals", action="store_true", help="of rehearsals instead of real makes")
    _data(one)
    one.set_defaults(run=run_trends)


def _batch(one: argparse.ArgumentParser) -> None:
    one.add_argument(
        "--batch-size", metavar="SIZE", help='grams with a unit, such as "500g"; else the usual batch'
    )


def _simulated(one: argparse.ArgumentParser) -> None:
    one.add_argument(
        "--pace", type=_pace, metavar="N", help="N simulated seconds a second; 0: as fast as it goes"
    )
    one.add_argument("--seed", type=int, default=1, help="another number gives other slips of the hand")


def _data(one: argparse.ArgumentParser) -> None:
    one.add_argument("--data", metavar="DIR", help="where the journal is kept")


def _pace(text: str) -> float:
    try:
        pace = float(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no number") from error
    if not 0 <= pace <= 100_000:
        raise argparse.ArgumentTypeError("a pace lies between 0 and 100000")
    return pace


if __name__ == "__main__":
    sys.exit(main())
