"""What thermometers of many families say, and what is said beside a temperature."""

from __future__ import annotations

import random

from instrument_lines import CELSIUS, Line, celsius, number
from weight_lines import (
    stamp,
)

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


TEMPERATURES = (
    plain_heat, round_heat, labelled_heat, channels, comma_heat, indexed_heat, stamped_heat, open_probe, humidity,
)  # fmt: skip
