"""Lines of instruments of many families, made from a grammar of its own, each with what it truly says.

Imports nothing of the code under test: how many grams an ounce has, what a parity bit does to a byte and what a line
means stand here a second time. ``kind`` is what the device measures and ``values`` what its channels say, in grams,
degrees Celsius or pH; an empty ``values`` is a line that says no such number. A number and nothing else is of kind ANY:
only the device's display tells what it is.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass

GRAM, CELSIUS, PH, OTHER, ANY = "scale", "thermometer", "ph meter", "other", "any"
#: NIST SP 811, appendix B.8.
GRAMS = {"g": 1.0, "kg": 1e3, "mg": 1e-3, "oz": 28.349523125, "lb": 453.59237, "gr": 0.06479891, "ct": 0.2,
         "ozt": 31.1034768, "t": 1e6, "dwt": 1.55517384}  # fmt: skip


@dataclass(frozen=True)
class Line:
    """One line: its family, its bytes without the line's end, and what it says."""

    family: str
    raw: bytes
    kind: str
    values: tuple[float, ...]


def number(chance: random.Random, low: float, high: float, places: int | None = None) -> str:
    """A number as a display writes it."""
    return f"{chance.uniform(low, high):.{chance.randrange(4) if places is None else places}f}"


def padded(chance: random.Random, text: str) -> str:
    """The number with a sign, zeros or blanks before it, or as it is."""
    sign, digits = ("-", text[1:]) if text.startswith("-") else (chance.choice(("", "+")), text)
    width = chance.choice((0, 7, 8, 9))
    return chance.choice(
        (
            f"{sign}{digits}",
            f"{sign}{digits:0>{width}}",
            f"{sign}{digits:>{width}}",
            f"{sign + digits:>{width}}",
        )
    )


def celsius(value: float, unit: str) -> float:
    """A temperature in degrees Celsius."""
    bare = unit.lstrip("°deg ")
    return (value - 32.0) / 1.8 if bare == "F" else value - 273.15 if bare == "K" else value


# --- scales ------------------------------------------------------------------------------------------------


def weight(c: random.Random) -> tuple[str, str, float]:
    """The digits, the unit and the grams of a weight."""
    unit = c.choice(("g", "g", "g", "kg", "mg", "oz", "lb", "gr", "ct", "ozt", "t", "dwt"))
    digits = number(c, -50, 3000)
    return digits, unit, float(digits) * GRAMS[unit]


def plain_weight(c: random.Random) -> Line:
    digits, unit, grams = weight(c)
    return Line("weight", f"{padded(c, digits)}{c.choice(('', ' ', '  '))}{unit}".encode(), GRAM, (grams,))


def stable_mark(c: random.Random) -> Line:
    digits, unit, grams = weight(c)
    mark = c.choice(("*", "?", "S", "~", "M", ";", "  D", "@", " STABLE"))
    form = c.choice((f"{mark} {digits} {unit}", f"{digits} {unit} {mark}", f"{digits}{mark} {unit}"))
    return Line("stability mark", form.encode(), GRAM, (grams,))


def headed(c: random.Random) -> Line:
    digits, unit, grams = weight(c)
    status, load = c.choice(("ST", "US", "QT", "HD")), c.choice((",GS", ",NT", ",TR", ""))
    form = f"{status}{load},{padded(c, digits)}{c.choice((' ', ',', ', ', ''))}{unit}{c.choice(('', '', '', '*5A', ',7F', ' 3'))}"
    return Line("status headed", form.encode(), GRAM, () if load == ",TR" else (grams,))


def net_gross(c: random.Random) -> Line:
    digits, unit, grams = weight(c)
    label = c.choice(("N", "G", "NET", "Net", "Gross", "T", "TARE", "N1", "G2", "B/G", "PT", "Net weight"))
    joined = c.choice((" ", ":", ": ", " = ", "", " - ", " - ", "="))
    if label[:1] in "TP" and label != "N":
        return Line("tare", f"{label}{joined}{digits} {unit}".encode(), GRAM, ())
    return Line("net or gross", f"{label}{joined}{digits} {unit}".encode(), GRAM, (grams,))


def tare_after(c: random.Random) -> Line:
    digits, unit, grams = weight(c)
    tare = number(c, 1, 99, 1)
    return Line(
        "net and tare", f"{digits} {unit}{c.choice((' ', ',', ' T '))}{tare} {unit}".encode(), GRAM, (grams,)
    )


def prompted(c: random.Random) -> Line:
    digits, unit, grams = weight(c)
    status = c.choice(("S", "D", "I", "X", "S 1"))
    return Line(
        "prompted", f"S {status} {digits:>10} {unit}".encode(), GRAM, () if status == "I" else (grams,)
    )


def columns(c: random.Random) -> Line:
    digits, unit, grams = weight(c)
    sign = "-" if digits.startswith("-") else c.choice("+ ")
    shift = c.choice((0, 0, 0, 1, -1))
    return Line("columns", f"{sign}{digits.lstrip('-'):>{9 + shift}} {unit:<3}".encode(), GRAM, (grams,))


def two_parts(c: random.Random) -> Line:
    pounds, ounces = c.randrange(20), number(c, 0, 15.9, c.choice((0, 1, 2)))
    grams = pounds * GRAMS["lb"] + float(ounces) * GRAMS["oz"]
    form = c.choice(
        (
            "{} lb {} oz",
            "{}lb{}oz",
            "{}:{} lb:oz",
            "{}lb {}oz",
            "{}:{}",
            "{} lb, {} oz",
            "{} {} lb:oz",
            "{},{} lb:oz",
        )
    )
    return Line("pounds and ounces", form.format(pounds, ounces).encode(), GRAM, (grams,))


def indexed_weight(c: random.Random) -> Line:
    digits, unit, grams = weight(c)
    index = c.choice(
        (
            f"{c.randrange(1, 10)}",
            f"{c.randrange(1000):03}",
            f"#{c.randrange(99)}",
            f"No.{c.randrange(99)}",
            f"({c.randrange(9)})",
        )
    )
    return Line(
        "record number",
        f"{index}{c.choice((' ', ',', '; ', ': ', '	', '  '))}{digits} {unit}".encode(),
        GRAM,
        (grams,),
    )


def stamp(c: random.Random) -> str:
    """A date, a time or both."""
    date = c.choice(
        (
            f"{c.randrange(1, 29):02}.{c.randrange(1, 13):02}.2026",
            f"2026-{c.randrange(1, 13):02}-{c.randrange(1, 29):02}",
            f"{c.randrange(1, 13)}/{c.randrange(1, 29)}/26",
        )
    )
    time = f"{c.randrange(24):02}:{c.randrange(60):02}{c.choice(('', f':{c.randrange(60):02}'))}{c.choice(('', ' PM'))}"
    return c.choice((date, time, f"{date} {time}", f"{date}T{time}"))


def printed_record(c: random.Random) -> Line:
    """A record number, a date and a time before the weight, in one order or another."""
    digits, unit, grams = weight(c)
    parts = [
        f"{c.randrange(10_000):04}",
        f"{c.randrange(1, 29):02}.{c.randrange(1, 13):02}.2026",
        f"{c.randrange(24):02}:{c.randrange(60):02}",
    ]
    if c.random() < 0.3:
        c.shuffle(parts)
    return Line(
        "printed record",
        f"{' '.join(parts)}{c.choice((' ', '  ', ','))}{digits} {unit}".encode(),
        GRAM,
        (grams,),
    )


def stamped_weight(c: random.Random) -> Line:
    digits, unit, grams = weight(c)
    parts = [stamp(c), f"{digits} {unit}"]
    if c.random() < 0.3:
        parts.reverse()
    return Line("stamped weight", c.choice((" ", ",", ", ", "  ")).join(parts).encode(), GRAM, (grams,))


def grouped_weight(c: random.Random) -> Line:
    value = round(c.uniform(1000, 99_999), 1)
    whole, part = f"{value:,.1f}".split(".")
    mark, group = c.choice(((",", "."), (".", ","), (".", "'"), (",", " ")))
    return Line("grouped", f"{whole.replace(',', group)}{mark}{part} g".encode(), GRAM, (value,))


def comma_weight(c: random.Random) -> Line:
    value = round(c.uniform(0, 3000), c.choice((1, 2)))
    return Line(
        "decimal comma",
        f"{value} {c.choice(('g', 'kg', ''))}".replace(".", ",").strip().encode(),
        GRAM,
        (value,),
    )


def counted(c: random.Random) -> Line:
    what = c.choice(("pcs", "PCS", "%", "ct/g", "g/m", "pc", "ml", "N"))
    return Line(
        "not a mass", f"{c.choice(('', 'ST,GS,', 'N ', 'S S '))}{number(c, 1, 900)} {what}".encode(), GRAM, ()
    )


# --- thermometers ------------------------------------------------------------------------------------------

UNITS_OF_HEAT = ("C", "F", " C", " F", " °C", "°F", " deg C", " K", "degC", "'C")


def heat(c: random.Random, places: int | None = None) -> tuple[str, str, float]:
    """The digits, the unit and the degrees Celsius of a temperature."""
    unit = c.choice(UNITS_OF_HEAT)
    bare = unit.strip(" °deg'")
    low, high = {"F": (40, 210), "K": (285, 370)}.get(bare, (5, 99))
    digits = number(c, low, high, c.choice((0, 1, 1, 2)) if places is None else places)
    return digits, unit, celsius(float(digits), bare)


def bytes_of(c: random.Random, text: str) -> bytes:
    """With its degree sign in one byte or in two."""
    return text.encode(c.choice(("latin-1", "utf-8")))


def plain_heat(c: random.Random) -> Line:
    digits, unit, value = heat(c)
    return Line(
        "temperature", bytes_of(c, f"{c.choice(('', '', '+', ' '))}{digits}{unit}"), CELSIUS, (value,)
    )


def round_heat(c: random.Random) -> Line:
    """Tens of degrees: the digit 0 is a degree sign when a parity bit stays in it."""
    tens = c.randrange(1, 10)
    unit = c.choice(("C", "F"))
    return Line("tens of degrees", f"{tens}0{unit}".encode(), CELSIUS, (celsius(10.0 * tens, unit),))


def labelled_heat(c: random.Random) -> Line:
    digits, unit, value = heat(c)
    label = c.choice(("T", "T1", "TEMP", "Temp", "t", "CH1", "K", "Tmax", "Ch 1", "SP", "T 1"))
    joined = c.choice((" ", "=", ": ", ":", " - ", " - ", "= ", *("",) * (not label[-1].isdigit())))
    values = () if label in ("Tmax", "SP") else (value,)
    return Line("labelled temperature", bytes_of(c, f"{label}{joined}{digits}{unit}"), CELSIUS, values)


def channels(c: random.Random) -> Line:
    """Several probes: every one with its unit, one unit for all at the end, or numbered."""
    count, places = c.randrange(2, 4), c.choice((0, 1, 1, 2))
    unit = c.choice(UNITS_OF_HEAT)
    bare = unit.strip(" °deg'")
    digits = [
        number(c, *((40, 210) if bare == "F" else (290, 370) if bare == "K" else (5, 99)), places)
        for _ in range(count)
    ]
    values = tuple(celsius(float(d), bare) for d in digits)
    style = c.randrange(6)
    if style == 0:
        text = ",".join(d + unit for d in digits)
    elif style == 1:
        text = ",".join(digits) + unit
    elif style == 2:
        text = ",".join(f"T{n}={d}{unit}" for n, d in enumerate(digits, 1))
    elif style == 3:
        text = ",".join(f"T{n}={d}" for n, d in enumerate(digits, 1)) + unit
    elif style == 4:
        text = " ".join(d + unit.strip() for d in digits)
    else:
        text = f"{digits[0]}{unit}," + ",".join(digits[1:])
    return Line("several probes", bytes_of(c, text), CELSIUS, values)


def comma_heat(c: random.Random) -> Line:
    digits, unit, value = heat(c, c.choice((1, 2)))
    text = digits.replace(".", ",") + c.choice((unit, unit, ""))
    if text[-1].isdigit():
        value = float(digits)
    return Line(
        "temperature with a decimal comma",
        bytes_of(c, f"{c.choice(('', '', 'T1=', '+', 'T '))}{text}"),
        CELSIUS,
        (value,),
    )


def indexed_heat(c: random.Random) -> Line:
    digits, unit, value = heat(c, 1)
    index = c.choice((f"{c.randrange(1, 9)}", f"{c.randrange(100):02}", f"#{c.randrange(9)}"))
    with_unit = c.random() < 0.6
    text = f"{index}{c.choice((',', ' ', ':', ', ', ';'))}{digits}{unit if with_unit else ''}"
    return Line("indexed temperature", bytes_of(c, text), CELSIUS, (value if with_unit else float(digits),))


def stamped_heat(c: random.Random) -> Line:
    digits, unit, value = heat(c, 1)
    return Line(
        "stamped temperature",
        bytes_of(c, f"{stamp(c)}{c.choice((' ', ',', '  '))}{digits}{unit}"),
        CELSIUS,
        (value,),
    )


def open_probe(c: random.Random) -> Line:
    code = c.choice(
        (
            "999.9",
            "-127.0",
            "-127.00",
            "850.0",
            "9999",
            "-999.9",
            "3276.7",
            "-3276.8",
            "1372.0",
            "OPEN",
            "----",
            "OL",
            "Err",
            "-273.2",
            "6553.5",
        )
    )
    shape = c.choice(("{}", "{} C", "{} F", "T1={}C", "T {} C", "T: {} °C", "{},{}", "T1={}C,T2={}C"))
    return Line("open probe", bytes_of(c, shape.format(code, code)), CELSIUS, ())


def humidity(c: random.Random) -> Line:
    digits, unit, value = heat(c, 1)
    text = c.choice(
        (
            f"{digits}{unit} {number(c, 20, 90, 1)} %RH",
            f"{digits}{unit},{number(c, 20, 90, 1)}%",
            f"{number(c, 20, 90, 1)} %RH",
        )
    )
    return Line(
        "humidity", bytes_of(c, text), CELSIUS, () if text.endswith("%RH") and unit not in text else (value,)
    )


# --- pH meters ---------------------------------------------------------------------------------------------


def ph_line(c: random.Random) -> Line:
    digits = number(c, 2, 11, c.choice((1, 2, 2, 3)))
    head = c.choice(
        (
            "pH ",
            "pH: ",
            "pH=",
            "PH ",
            "pH",
            "pH - ",
            "pH1 ",
            "pH2: ",
            f"{c.randrange(1000):03} pH ",
            f"{c.randrange(9)},pH,",
            "CH1 pH ",
            f"{stamp(c)} pH ",
            "ph ",
        )
    )
    tail = c.choice(
        (
            "",
            "",
            f" {number(c, 15, 30, 1)} C",
            f"  {number(c, 15, 30, 1)} °C",
            f" {number(c, -90, 90, 1)} mV",
            f" {number(c, -90, 90, 1)} mV 24.8 C",
            " ATC",
            f",{number(c, 15, 30, 1)}",
            " pH",
        )
    )
    return Line("pH", bytes_of(c, f"{head}{digits}{tail}"), PH, (float(digits),))


def ph_after(c: random.Random) -> Line:
    digits = number(c, 2, 11, 2)
    tail = c.choice(("", " 24.8 C", " 6.9 mV", " ATC", " ?", " S"))
    return Line(
        "pH after", f"{c.choice(('', '', '1 ', '007 '))}{digits} pH{tail}".encode(), PH, (float(digits),)
    )


def millivolt(c: random.Random) -> Line:
    digits = number(c, -190, 190, c.choice((0, 1)))
    form = c.choice(
        ("{} mV", "pH: {} mV 24.8 C", "mV: {}", "pH {} mV", "{}mV 24.8C", "E={} mV", "pH -> {} mV")
    )
    return Line("millivolt", form.format(digits).encode(), PH, ())


def calibration(c: random.Random) -> Line:
    buffer = c.choice(("4.01", "7.00", "9.21", "10.01", "6.86"))
    form = c.choice(
        (
            "pH {} buffer",
            "pH {} CAL OK",
            "CAL pH {}",
            "{} pH CAL",
            "pH {} buffer 25.0 C",
            "BUF {} pH",
            "pH {} cal 1",
            "slope 98.2 % pH {}",
            "pH {}/25 C",
        )
    )
    return Line("calibration", form.format(buffer).encode(), PH, ())


def split_number(c: random.Random) -> Line:
    """A number with a gap in it, as a damaged line has: nobody can say what it was."""
    left, right = str(c.randrange(1, 14)), f"{c.randrange(100):02}"
    form = c.choice(("pH {} .{}", "pH {}. {}", "{} .{} pH", "pH {}.{} .1", "pH {} {}"))
    return Line("split number", form.format(left, right).encode(), PH, ())


# --- others, and what goes over a wire ----------------------------------------------------------------------


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
    plain_weight, stable_mark, headed, net_gross, tare_after, prompted, columns, two_parts, indexed_weight,
    stamped_weight, printed_record, grouped_weight, comma_weight, counted, plain_heat, round_heat, labelled_heat, channels, comma_heat,
    indexed_heat, stamped_heat, open_probe, humidity, ph_line, ph_after, millivolt, calibration, split_number, bare, prose,
)  # fmt: skip


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
