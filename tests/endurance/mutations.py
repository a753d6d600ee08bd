"""Random and mutated bytes through every line format, and random text through the readers of procedure and bench files.

A number that comes out of a line must be one that can be read in that line by other means: every decimal literal in
it, in every unit it names. ``python tests/endurance/mutations.py`` is the long run: ten million lines, two thousand
procedure files, two thousand bench files.
"""

from __future__ import annotations

import contextlib
import random
import re
import resource
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from drivers.errors import DriverError
from drivers.formats import LineParser, shipped_formats
from drivers.readings import FaultKind
from procedures.errors import ProcedureError
from procedures.reading import read_text
from procedures.shelf import find, shipped

#: Grams in a unit of mass (NIST SP 811, appendix B.8), kelvin-sized steps of temperature; read independently of the code.
GRAMS = {"g": 1.0, "kg": 1e3, "mg": 1e-3, "oz": 28.349523125, "ozt": 31.1034768, "lb": 453.59237, "lbs": 453.59237,
         "ct": 0.2, "t": 1e6, "dwt": 1.55517384, "gn": 0.06479891, "gr": 0.06479891}  # fmt: skip
PIECES = (
    b"ST", b"US", b"GS", b"NT", b",", b" ", b"  ", b"+", b"-", b"12.3", b".", b"99999999999", b"1e400", b"g", b"kg", b"oz",
    b"\xb0C", b"F", b"S S", b"S D", b"N", b"T1=", b"T9=", b"OL", b"NaN", b"inf", b"{value}", b"\x00", b"\xff", b"pH", b"mV",
    b"E+05", b"'", b"0" * 40, b"\xe2\x88\x92", b"\xd9\xa1\xd9\xa2",
)  # fmt: skip


def possible(text: str, columns: int = 0) -> set[float]:
    """Every number that can be read in a line, in grams or degrees Celsius; ``columns`` is where a value's field ends."""
    found: set[float] = set()
    words = set(re.findall(r"[A-Za-z]+", text))
    factors = [GRAMS[w.lower()] for w in words if w.lower() in GRAMS] or [1.0]
    for digits in _literals(text if not columns else text[:columns]):
        for value in _values(digits):
            for signed in (value, -value):
                found.update(f * signed for f in (*factors, 1.0))
                found.update(((signed - 32.0) / 1.8, signed - 273.15))
    return found


def _literals(text: str) -> Iterator[str]:
    """Runs of digits and decimal or grouping marks, with the blanks inside them left out, and the parts between blanks."""
    for run in re.findall(r"[.,]?\d[\d.,' ]*(?:[eE][+-]?\d+)?", text):
        yield run.replace(" ", "")
        yield run.replace(" ", "").lstrip(".,")
        yield from run.split()


def _values(digits: str) -> Iterator[float]:
    """The last mark is the decimal mark; or, between groups of three, a grouping mark."""
    bare = digits.replace("'", "")
    readings = {bare.replace(",", ""), bare.replace(".", "").replace(",", "."), bare.replace(",", ".")}
    if re.fullmatch(r"\d{1,3}(?:[.,]\d{3})+", bare):
        readings.add(re.sub("[.,]", "", bare))
    else:
        readings.discard(re.sub("[.,]", "", bare) if re.search("[.,]", bare) else "")
    for reading in readings:
        with contextlib.suppress(ValueError):
            yield float(reading)


def near(value: float, readings: set[float]) -> bool:
    """Whether a reading equals one of these to seven digits."""
    return any(abs(value - r) <= 1e-7 * max(abs(r), 1e-3) for r in readings)


def mutated(line: bytes, chance: random.Random) -> bytes:
    """The line after a few small accidents, now and then none."""
    out = bytearray(line)
    for _ in range(chance.choice((0, 1, 1, 1, 2, 4))):
        where = chance.randrange(len(out) + 1)
        what = chance.randrange(6)
        if what == 0 and out:
            out[where % len(out)] = chance.randrange(256)
        elif what == 1 and out:
            del out[where % len(out)]
        elif what == 2:
            out[where:where] = chance.choice(PIECES)
        elif what == 3:
            out[where:where] = out[:where][-8:]
        elif what == 4:
            del out[where:]
        else:
            out[where:where] = b"%d" % chance.randrange(10)
    return bytes(out)


@dataclass
class Tally:
    """What was put in, what came out, and what should not have."""

    lines: int = 0
    numbers: int = 0
    faults: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    slowest_s: float = 0.0


def lines_through(count: int, seed: int, tick: Callable[[int], None] = lambda _: None) -> Tally:
    """So many lines through the text formats, in turn."""
    chance, tally = random.Random(seed), Tally()
    parsers = [
        (
            key,
            LineParser(form, kind, 2 if form.between else 1),
            [e[0].encode("latin-1", "replace") for e in form.examples],
        )
        for key, form in shipped_formats().items()
        if not form.is_modbus
        for kind in form.kinds
    ]
    for number in range(count):
        key, parser, examples = parsers[number % len(parsers)]
        line = (
            mutated(chance.choice(examples), chance)
            if chance.random() < 0.9
            else chance.randbytes(chance.randrange(80))
        )
        began = time.perf_counter()
        spokes = parser.read(line)
        tally.slowest_s = max(tally.slowest_s, time.perf_counter() - began)
        tally.lines += 1
        for spoke in spokes:
            if spoke.value is None:
                tally.faults[FaultKind(spoke.fault or "").value] += 1
                continue
            tally.numbers += 1
            text = line.decode("latin-1")
            readable = possible(text) | possible(text, 10 if key == "fixed-column" else 0)
            if parser.channels > 1:
                readable |= possible(re.sub("[,;]", "\t", text))
            if not near(spoke.value, readable):
                tally.wrong.append(f"{key}: {line!r} was read as {spoke.value!r}")
        if number % 50_000 == 0:
            tick(number)
    return tally


def texts_through(count: int, seed: int) -> Counter[str]:
    """So many mutated procedure files; what each came to. Anything but a typed error or a procedure is raised."""
    chance = random.Random(seed)
    shelf = [find(key).read_text(encoding="utf-8") for key in shipped()]
    out: Counter[str] = Counter()
    for _ in range(count):
        lines = chance.choice(shelf).split("\n")
        for _ in range(chance.randint(1, 6)):
            _spoil(lines, chance)
        text = "\n".join(lines)
        try:
            read_text(text, "mutated.toml")
            out["read"] += 1
        except ProcedureError as error:
            out["refused" if "mutated.toml" in str(error) else f"refused without its place: {error}"] += 1
    return out


def _spoil(lines: list[str], chance: random.Random) -> None:
    where = chance.randrange(len(lines))
    what = chance.randrange(7)
    if what == 0:
        del lines[where]
    elif what == 1:
        lines.insert(where, chance.choice(lines))
    elif what == 2:
        lines[where] = mutated(lines[where].encode(), chance).decode("utf-8", "replace").replace("\n", " ")
    elif what == 3:
        lines[where] = re.sub(
            r"\d+(\.\d+)?",
            chance.choice(["-1", "0", "1e308", "nan", "inf", "99999999999999", '"x"']),
            lines[where],
        )
    elif what == 4:
        lines[where] = lines[where].replace("=", chance.choice(["==", "", "= [", "= {"]), 1)
    elif what == 5:
        lines[where] = lines[where] + chance.choice(['"' * 3, "[" * 200, "#", "\\", "\x07", "'" * 3])
    else:
        other = chance.randrange(len(lines))
        lines[where], lines[other] = lines[other], lines[where]


def benches_through(count: int, seed: int, folder: str) -> Counter[str]:
    """So many mutated bench files."""
    from pathlib import Path

    from drivers.bench_file import read_bench

    chance = random.Random(seed)
    good = (
        '[[device]]\nname = "big scale"\nkind = "scale"\nport = "/dev/ttyUSB0"\nformat = "number-unit"\n'
        'period = "0.2 s"\ncapacity = "3000 g"\nreadability = "0.1 g"\n\n[[device]]\nname = "thermometer"\n'
        'kind = "thermometer"\nport = "socket://127.0.0.1:4001"\nformat = "multi-channel"\nprobes = ["probe 1", "probe 2"]\n'
    )
    out: Counter[str] = Counter()
    place = Path(folder) / "mutated-bench.toml"
    for _ in range(count):
        lines = good.split("\n")
        for _ in range(chance.randint(1, 4)):
            _spoil(lines, chance)
        place.write_text("\n".join(lines), encoding="utf-8")
        try:
            read_bench(place)
            out["read"] += 1
        except DriverError as error:
            out[
                "refused" if "mutated-bench.toml" in str(error) else f"refused without its place: {error}"
            ] += 1
    return out


def main() -> int:
    """The long run."""
    import tempfile

    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000_000
    tally = lines_through(count, 2024, lambda n: print(f"\r{n:>12,} lines", end="", file=sys.stderr))
    print(f"\n{tally.lines:,} lines: {tally.numbers:,} numbers, {sum(tally.faults.values()):,} typed faults, "
          f"slowest {tally.slowest_s * 1e3:.1f} ms, {len(tally.wrong)} numbers that cannot be read in their line")  # fmt: skip
    print("\n".join(tally.wrong[:20]))
    print("procedure files:", dict(texts_through(count // 5000, 2025)))
    with tempfile.TemporaryDirectory() as folder:
        print("bench files:", dict(benches_through(count // 5000, 2026, folder)))
    print(f"most memory: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")
    return 1 if tally.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
