"""bench-check: a device of the bench held against a known mass, ice, boiling water or a buffer."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from rich.console import Console

from benchapp.commands.opening import bench_service
from benchapp.commands.options import Parser, runs
from benchapp.commands.output import say, show
from benchapp.foundation.language import tr, tr_noop
from benchapp.runtime.clocks import wall_now
from benchapp.service.errors import DONE, REFUSED, CommandError
from benchapp.service.references import HOW, NOT_PASSED, CheckSubject, reference_choices, reference_named

if TYPE_CHECKING:
    from benchapp.service.bench_service import BenchService
    from drivers.settings import DeviceSettings


#: What to do before Enter, by the device's kind, where what it is held against was said already.
READY = {
    "scale": tr_noop("Put the weight on the empty pan."),
    "thermometer": tr_noop("Hold the probe in it and stir."),
    "ph meter": tr_noop("Rinse the probe, then dip it into fresh buffer."),
}


def bench_check(one: Parser) -> None:
    """benchapp bench-check"""
    one.add_argument(
        "device", nargs="?", help=tr("its name in the bench file; all are listed where none is named")
    )
    one.add_argument("--bench", required=True, metavar="FILE", help=tr("the bench file"))
    one.add_argument("--channel", default="", help=tr("the probe, where a thermometer has several"))
    one.add_argument(
        "--against", metavar="WHAT", help=tr('"200 g", ice, "boiling water, by height", "buffer 7.00"')
    )
    one.add_argument(
        "--known", type=float, metavar="N", help=tr("the height in m, air pressure in hPa, buffer's °C")
    )
    one.add_argument(
        "--reads", type=float, metavar="N", help=tr("what its display shows; else the device is read")
    )
    one.add_argument("--seconds", type=float, default=60.0, help=tr("how long to wait until it is at rest"))
    one.add_argument("--by", dest="maker", default="", metavar="NAME", help=tr("who checks it"))
    runs(one, run_bench_check)


def run_bench_check(args: argparse.Namespace, console: Console) -> int:
    """Exit 0 where it passed, 3 where it did not. Without a device or a reference: what there is."""
    with bench_service(args) as (bench, _):
        if args.device is None:
            return _list(bench, console)
        device = _device(bench, args.device)
        if args.against is None:
            return _offer(device, console)
        if not args.maker.strip():
            raise CommandError(tr("Say who checks it: --by NAME."))
        channel = _channel(device, args.channel)
        subject = CheckSubject(device, channel, args.maker.strip(), wall_now)
        reference = reference_named(device, args.against, args.known)
        found, source = (
            (args.reads, "stated") if args.reads is not None else _read(bench, subject, args, console)
        )
        check = subject.check(reference, found, source)
        electrode = bench.keep_check(check)
    say(
        console,
        tr("{how}. {verdict}", how=tr("Passed") if check.passed else tr("Not passed"), verdict=check.verdict),
    )
    for text in (electrode, "" if check.passed else NOT_PASSED):
        if text:
            say(console, text)
    return DONE if check.passed else REFUSED


def _read(
    bench: BenchService, subject: CheckSubject, args: argparse.Namespace, console: Console
) -> tuple[float, str]:
    """What the device shows when it has come to rest. Raises CommandError where it does not."""
    if sys.stdin is not None and sys.stdin.isatty():
        say(console, READY[subject.device.kind])
        console.input(tr("Enter reads it. "))
    one = bench.watch().at_rest(subject.device.name, subject.channel, args.seconds)
    if one.rest is None or not one.fresh:
        why = one.trouble or (
            tr("It says nothing.") if one.reading is None else tr("It did not come to rest.")
        )
        raise CommandError(
            tr(
                "{name}: {why} Nothing was kept. What its display shows can be given with --reads.",
                name=subject.name,
                why=why,
            )
        )
    return one.rest, "measured"


def _device(bench: BenchService, name: str) -> DeviceSettings:
    found = next((d for d in bench.devices() if d.name.casefold() == name.strip().casefold()), None)
    if found is None:
        raise CommandError(
            tr(
                "No device is called {name!r}. There are: {names}.",
                name=name,
                names=", ".join(d.name for d in bench.devices()),
            )
        )
    return found


def _channel(device: DeviceSettings, channel: str) -> str:
    if len(device.channels) == 1:
        return device.channels[0]
    if channel not in device.channels:
        raise CommandError(
            tr("Which probe? Say --channel with one of: {names}.", names=", ".join(device.channels))
        )
    return channel


def _list(bench: BenchService, console: Console) -> int:
    last = bench.last_checks()
    rows = []
    for device in bench.devices():
        for channel in device.channels:
            check = last.get((device.name, channel))
            rows.append((device.name, channel, check.words if check else tr("not checked")))
    show(console, ("device", "channel", tr("last check")), rows)
    return DONE


def _offer(device: DeviceSettings, console: Console) -> int:
    say(console, HOW[device.kind])
    for choice in reference_choices(device):
        known = (
            tr(" --known N ({what}, {unit})", what=choice.ask.what, unit=choice.ask.unit)
            if choice.ask
            else ""
        )
        say(console, tr('  --against "{label}"{known}', label=choice.label, known=known))
    if device.kind == "scale":
        say(console, tr('  --against "123.4 g": any weight whose mass is known'))
    return DONE
