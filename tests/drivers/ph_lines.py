"""What pH meters of many families say."""

from __future__ import annotations

import random

from heat_lines import (
    bytes_of,
)
from instrument_lines import PH, Line, number
from weight_lines import (
    stamp,
)


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


ACIDITIES = (ph_line, ph_after, millivolt, calibration)
