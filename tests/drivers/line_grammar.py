"""Lines of instruments of many families, made from a grammar of its own, each with what it truly says.

Imports nothing of the code under test: how many grams an ounce has, what a parity bit does to a byte and what a line
means stand here a second time. ``kind`` is what the device measures and ``values`` what its channels say, in grams,
degrees Celsius or pH; an empty ``values`` is a line that says no such number. A number and nothing else is of kind ANY:
only the device's display tells what it is.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator

from heat_lines import TEMPERATURES
from instrument_lines import ANY, OTHER, PH, Line, number, padded
from ph_lines import ACIDITIES
from weight_lines import WEIGHTS


def split_number(c: random.Random) -> Line:
    """A number with a gap in it, as a damaged line has: nobody can say what it was."""
    left, right = str(c.randrange(1, 14)), f"{c.randrange(100):02}"
    form = c.choice(("pH {} .{}", "pH {}. {}", "{} .{} pH", "pH {}.{} .1", "pH {} {}"))
    return Line("split number", form.format(left, right).encode(), PH, ())


def bare(c: random.Random) -> Line:
    digits = number(c, 2, 14, c.choice((1, 2)))
    return Line("bare number", padded(c, digits).encode(), ANY, (float(digits),))


def prose(c: random.Random) -> Line:
    text = c.choice(
        (
            "READY",
            "V1.02",
            "SN 004711",
            "Low battery",
            "Zero",
            "12:31:05",
            "2026-11-28",
            "Tare 1",
            "Unit g",
            "Max 3000 g d=0.1 g",
            "ID: 12",
            "1/2",
            "Battery 3.7 V",
            "230 V",
            "50 Hz",
            "1013.2 hPa",
            "12.3 mS",
            "45 %",
            "T=OK",
            "pH OK",
            "pH electrode 1",
        )
    )
    return Line("no reading", text.encode(), OTHER, ())


def parity_left_in(line: Line, odd: int) -> Line:
    """A line of seven bits and a parity bit, read as eight bits."""
    raw = bytes(b | 0x80 if (b & 0x7F).bit_count() % 2 != odd else b & 0x7F for b in line.raw)
    return Line("parity left in", raw, line.kind, line.values)


def with_checksum(c: random.Random, line: Line) -> Line:
    total = sum(line.raw) & 0xFF
    return Line(
        "checksum",
        line.raw + c.choice((f"*{total:02X}", f" {total:02X}", f",{total}", f"<{total}>")).encode(),
        line.kind,
        line.values,
    )


FAMILIES: tuple[Callable[[random.Random], Line], ...] = (
    *WEIGHTS,
    *TEMPERATURES,
    *ACIDITIES,
    split_number,
    bare,
    prose,
)


def lines(seed: int, count: int) -> Iterator[Line]:
    """So many lines, every family in turn; one in eight with its parity bits left in, one in ten with a checksum."""
    chance = random.Random(seed)
    for n in range(count):
        line = FAMILIES[n % len(FAMILIES)](chance)
        lot = chance.random()
        if lot < 0.125 and max(line.raw, default=0) < 0x80:
            line = parity_left_in(line, chance.randrange(2))
        elif lot < 0.225:
            line = with_checksum(chance, line)
        yield line
