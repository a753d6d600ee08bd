"""listen: what hangs on the ports, and the bench file's section for it."""

from __future__ import annotations

import argparse
from pathlib import Path

from rich.console import Console

from benchapp.errors import DONE, REFUSED, CommandError
from benchapp.terminal.words import clean
from drivers.bench_file import write_section
from drivers.errors import DriverError
from drivers.finding import BAUDS, Heard, listen, proposed_section
from drivers.formats import formats_with


def run_listen(args: argparse.Namespace, console: Console) -> int:
    """Listen on every port (or those named), show what each would read, write a section when told to."""

    def say(text: str) -> None:
        console.print(clean(text), markup=False, highlight=False, soft_wrap=True)

    if args.write and (not args.name or len(args.ports) != 1):
        raise CommandError(
            "To write a section, name one port and the device: listen PORT --write FILE --name NAME."
        )
    formats = formats_with(Path(args.formats) if args.formats else None)
    heard = listen(
        args.ports or None, bauds=args.baud or BAUDS, seconds=args.seconds, formats=formats, progress=say
    )
    if not heard:
        say(
            "No serial port is there. Plug the device in, or name a port: benchapp listen socket://host:port."
        )
        return REFUSED
    for one in heard:
        _tell(one, say)
    if args.write:
        try:
            write_section(args.write, proposed_section(heard[0], args.name))
        except DriverError as error:
            raise CommandError(str(error)) from error
        say(f"{args.name} stands in {args.write} now.")
    return DONE if any(h.fits for h in heard) else REFUSED


def _tell(heard: Heard, say: object) -> None:
    assert callable(say)
    say(f"{heard.port} {heard.description}".rstrip())
    if heard.trouble:
        say(f"  {heard.trouble}")
    for line in heard.lines[:3]:
        say(f"  heard {line!r}")
    for fit in heard.fits:
        say(f"  fits: {fit}")
    for misfit in heard.misfits:
        say(f"  does not fit: {misfit}")
