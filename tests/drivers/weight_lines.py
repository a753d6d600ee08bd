"""What scales of many families say."""

from __future__ import annotations

import random

from instrument_lines import GRAM, GRAMS, Line, number, padded


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


WEIGHTS = (
    plain_weight, stable_mark, headed, net_gross, tare_after, prompted, columns, two_parts, indexed_weight,
    stamped_weight, printed_record, grouped_weight, comma_weight, counted,
)  # fmt: skip
