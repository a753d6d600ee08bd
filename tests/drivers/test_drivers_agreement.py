"""A unit key that was pressed, and steps other than the bench file's: no number is spoken until they fit again."""

from __future__ import annotations

import random
from collections.abc import Iterable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.make.inputs import NoNumber
from benchapp.runtime.session import as_input
from drivers.agreement import Agreement, coarse_grid, switched, unit_jump
from drivers.bench_file import read_bench, section
from drivers.formats import LineParser, shipped_formats
from drivers.readings import Fault, FaultKind, Quantity, Reading
from drivers.settings import DeviceKind, DeviceSettings

OUNCE_G, POUND_G = 28.349523125, 453.59237  # NIST Handbook 44, Appendix C


def scale(readability_g: float | None = 0.1, unit: str = "g", **more: object) -> DeviceSettings:
    return DeviceSettings(
        "it",
        "scale",
        "COM1",
        "number-unit",
        ("mass",),
        readability_g=readability_g,
        readability_unit=unit,
        **more,
    )  # type: ignore[arg-type]


def thermometer() -> DeviceSettings:
    return DeviceSettings("it", "thermometer", "COM1", "bare-number", ("probe 1",), period_s=1.0)


def objections(settings: DeviceSettings, lines: Iterable[str], line_unit: str = "") -> list[str]:
    """What is said against each line, read by the format of a number alone or with its unit."""
    kind: DeviceKind = settings.kind
    quantity, unit = (
        (Quantity.MASS, line_unit or "g") if kind == "scale" else (Quantity.TEMPERATURE, line_unit or "degC")
    )
    agreement = Agreement(settings, unit)
    said = []
    for n, line in enumerate(lines):
        key = "number-unit" if line[-1].isalpha() else "bare-number"
        (one,) = LineParser(shipped_formats()[key], kind, unit=unit if key == "bare-number" else None).read(
            line.encode()
        )
        assert one.value is not None, line
        reading = Reading(
            "it",
            settings.channels[0],
            quantity,
            one.value,
            float(n),
            resolution=one.resolution,
            unit=one.unit or "",
        )
        said.append(agreement.objection(reading))
    return said


def refused(settings: DeviceSettings, lines: Iterable[str], line_unit: str = "") -> str:
    """One sign a line: x where it is refused."""
    return "".join("x" if said else "." for said in objections(settings, lines, line_unit))


def test_the_first_line_in_ounces_is_refused_and_says_what_to_do() -> None:
    (said,) = objections(scale(), ["12.36 oz"])
    assert said == (
        "it shows oz in steps of 0.01 oz (0.283 g); the bench file says 0.1 g. Set it back to g on the scale; or end the program, write "
        'readability = "0.01 oz" in the bench file, and resume.'
    )


@pytest.mark.parametrize(
    ("settings", "lines", "signs"),
    [
        (scale(), ["350.4 g", "12.36 oz", "12.36 oz", "350.4 g"], ".xx."),  # mid-stream, and back
        (scale(), ["0.773 lb"], "x"),
        (scale(), ["12.360 oz"], "x"),  # finer than 0.1 g, and still not what the bench file says
        (scale(0.01 * OUNCE_G, "oz"), ["12.36 oz", "350.4 g"], ".x"),
        (scale(0.01 * OUNCE_G, "oz"), ["12.36 oz", "0.77 oz", "0.0 oz"], "..x"),
        (scale(None), ["350.4 g", "12.36 oz", "350.4 g"], ".x."),  # nothing stated: what it spoke first
        (scale(None), ["12.36 oz", "12.40 oz"], ".."),
        (scale(), ["0.3504 kg", "350.4 g", "1.2345 kg"], "..."),  # kg shown to 0.1 g is what was said
        (scale(), ["0.35 kg"], "x"),  # and to 10 g it is not
        (scale(), ["350 g"], "x"),
        (scale(), ["350.44 g", "350.41 g"], ".."),  # one digit more
        (scale(), ["350.441 g"], "x"),  # two
        (scale(0.2), ["350.4 g", "350.6 g"], ".."),
        (scale(0.5), ["350.5 g", "351.0 g"], ".."),
        (scale(5.0), ["350 g", "355 g"], ".."),
        (scale(0.05), ["350.45 g", "350.50 g"], ".."),
    ],
)  # fmt: skip
def test_lines_that_name_their_unit(settings: DeviceSettings, lines: list[str], signs: str) -> None:
    assert refused(settings, lines) == signs


@pytest.mark.parametrize(
    ("settings", "lines", "signs"),
    [
        (scale(), ["350.4", "12.36", "12.36", "15.00", "350.4"], ".xxx."),  # oz in 0.01 oz
        (scale(), ["0.0", "0.00", "3.41", "0.0"], ".xx."),  # pressed on an empty pan
        (scale(), ["350.4", "0.7725"], ".x"),  # lb
        (scale(), ["0.7725"], "x"),  # already at the first line
        (scale(), ["350.4", "0.7725", "12.36", "350.4"], ".xx."),  # from lb on to oz
        (scale(1.0), ["351", "12.4", "12.4", "351"], ".xx."),
        (scale(0.01), ["200.00", "7.05", "7.05", "200.00"], ".xx."),  # with the same decimals
        (scale(), ["35"], "x"),
        (scale(), ["350.44", "12.40"], ".."),  # shows one digit more: nothing changed but the load
        (scale(), ["350.4", "120.3", "0.0", "0.1", "-0.1", "0.0", "812.7"], "......."),
        (scale(None), ["0", "0.1", "12.3"], "..."),
    ],
)  # fmt: skip
def test_lines_without_a_unit(settings: DeviceSettings, lines: list[str], signs: str) -> None:
    assert refused(settings, lines) == signs


def test_a_scale_in_kilograms_is_told_from_one_in_pounds() -> None:
    settings = scale(1.0, "kg")
    assert refused(settings, ["1.234", "2.720", "2.720", "1.234"], "kg") == ".xx."


@given(
    st.floats(20.0, 2900.0),
    st.sampled_from(
        [(0.1, 1), (0.1, 2), (0.2, 1), (0.5, 1), (1.0, 0), (2.0, 0), (5.0, 0), (0.01, 2), (0.05, 2)]
    ),
    st.integers(0, 2**30),
    st.booleans(),
)
def test_a_scale_as_the_bench_file_says_is_never_refused(
    load: float, shape: tuple[float, int], seed: int, named: bool
) -> None:
    """Noise, a pour, a vessel lifted and put back, on displays of every usual step."""
    step, places = shape
    chance = random.Random(seed)
    loads = [0.0] * 5 + [load + chance.gauss(0.0, step) for _ in range(10)]
    loads += (
        [load + flow * 7.3 + chance.gauss(0.0, step) for flow in range(30)] + [0.0, -load / 10] + [load] * 5
    )
    shown = step if places == 0 or step >= 10.0**-places else 10.0**-places
    grain = 10.0**-places if places > len(f"{step:g}".partition(".")[2]) else shown
    lines = [f"{round(one / grain) * grain:.{places}f}{' g' if named else ''}" for one in loads]
    assert refused(scale(step), lines) == "." * len(lines)


@given(
    st.floats(0.0, 900.0),
    st.sampled_from([(OUNCE_G, 2), (OUNCE_G, 3), (POUND_G, 3), (POUND_G, 4)]),
    st.booleans(),
)
def test_a_unit_key_is_noticed_at_its_first_line_whatever_lies_on_the_pan(
    load: float, unit: tuple[float, int], named: bool
) -> None:
    factor, places = unit
    name = f" {'oz' if factor == OUNCE_G else 'lb'}" if named else ""
    g = f"{load:.1f}{' g' if named else ''}"
    other = f"{load / factor:.{places}f}{name}"
    assert refused(scale(), [g, g, other, other, g]) == "..xx."


def test_a_display_that_pads_its_number_is_known_by_its_steps() -> None:
    rests = [f"{n * 7.0:.2f} g" for n in range(1, 15) for _ in range(3)]
    said = objections(scale(0.01), rests)
    assert "".join("x" if one else "." for one in said) == "." * 35 + "x" * 7
    assert said[-1] == "it moves only in steps of 1 g; the bench file says 0.01 g. Correct readability there."
    assert refused(scale(0.01), [*rests, *["12.37 g"] * 3])[-1] == "."


def test_a_pour_in_even_grams_says_nothing_of_the_steps() -> None:
    assert refused(scale(0.01), [f"{n * 15.0:.2f} g" for n in range(100)]) == "." * 100
    assert coarse_grid([0.5, 1.5, 2.0], 0.1) == 0.0
    assert coarse_grid([n * 1.5 for n in range(20)], 0.1) == 0.0  # no display moves by 15 divisions
    assert coarse_grid([n * 3.0 for n in range(20)], 0.1) == 1.0


def test_two_numbers_are_those_of_two_units_only_if_they_show_it() -> None:
    def reading(value: float, step: float | None) -> Reading:
        return Reading("it", "mass", Quantity.MASS, value, 0.0, resolution=step)

    assert switched(reading(350.4, 0.1), reading(12.36, 0.01), "g")
    assert not switched(reading(350.4, 0.1), reading(12.40, 0.01), "g")
    assert not switched(reading(28.0, 1.0), reading(1.0, 1.0), "g")  # too coarse to say
    assert not switched(reading(350.4, None), reading(12.36, 0.01), "g")


# --- thermometers -------------------------------------------------------------------------------------------


@given(st.floats(5.0, 100.0), st.sampled_from([0, 1, 2]))
def test_every_temperature_in_the_other_unit_is_a_jump(before_c: float, places: int) -> None:
    step = 10.0**-places
    assert unit_jump(round(before_c, places), round(1.8 * before_c + 32.0, places), step)
    assert not unit_jump(round(before_c, places), round(1.8 * before_c + 32.0 + 5.0, places), step)


@pytest.mark.parametrize(
    ("lines", "signs"),
    [
        (["60.1", "140.1", "140.3", "139.8", "60.2"], ".xxx."),
        (["60.1", "140.1", *[f"{140.1 - n:.1f}" for n in range(1, 50)], "32.9"], "." + "x" * 50 + "."),  # cooled below 105 °F
        (["20.0", "68.0", "68.1", "68.0"], ".xxx"),
        (["20.0", "41.0", "55.3", "63.0", "66.9"], "....."),  # a probe put into a hot pot
        (["20.0", "68.1", "77.5", "81.0"], ".x.."),  # one that passes just there is read again while it moves
        (["60.1", "20.3", "60.0"], "..."),
        (["20.1", "85.0", "85.0", "20.1"], ".xx."),  # the sensor was switched on again
        (["85.0", "84.9", "85.0", "85.1"], "x..."),
        (["20", "85", "85"], "..."),  # whole degrees are another kind of thermometer
        (["84.0", "84.6", "85.0", "85.4"], "...."),
    ],
)  # fmt: skip
def test_a_thermometer_without_a_unit(lines: list[str], signs: str) -> None:
    assert refused(thermometer(), lines) == signs


def test_a_thermometer_read_as_fahrenheit_that_is_switched_to_celsius() -> None:
    assert refused(thermometer(), ["140.2", "60.1", "60.1", "140.1"], "degF") == ".xx."


def test_a_thermometer_that_names_its_unit_may_change_it() -> None:
    assert refused(thermometer(), ["60.1 C", "140.2 F", "60.0 C"]) == "..."


# --- through a real port -------------------------------------------------------------------------------------


def test_no_number_is_spoken_until_the_unit_key_is_back(far_end, start, ear) -> None:
    start(DeviceSettings("fine", "scale", far_end.name, "number-unit", ("mass",), readability_g=0.1))
    far_end.send(b"\r\n350.4 g\r\n12.36 oz\r\n12.36 oz\r\n350.4 g\r\n")
    reading = ear.reading()
    assert (reading.value, reading.unit, reading.resolution) == (350.4, "g", 0.1)
    fault = ear.fault(FaultKind.DISAGREES)
    assert fault.text.startswith(
        "fine: it shows oz in steps of 0.01 oz (0.283 g); the bench file says 0.1 g."
    )
    ear.fault(FaultKind.DISAGREES)
    assert ear.reading().value == 350.4
    ear.nothing_more()


def test_a_make_gets_no_number_and_does_not_lose_the_device(far_end, start, ear) -> None:
    start(DeviceSettings("fine", "scale", far_end.name, "bare-number", ("mass",), readability_g=0.1))
    far_end.send(b"\r\n0.0\r\n0.00\r\n")
    ear.reading()
    given = as_input(ear.fault(FaultKind.DISAGREES))
    assert isinstance(given, NoNumber)
    assert (given.lost, given.fault, given.channel) == (False, "disagrees", "mass")
    assert "unit key" in given.text


def test_one_probe_of_two_is_refused_and_said_which(far_end, start, ear) -> None:
    start(
        DeviceSettings("bath", "thermometer", far_end.name, "multi-channel", ("water", "oil"), period_s=1.0)
    )
    far_end.send(b"\r\n60.1,20.0\r\n140.1,20.0\r\nOPEN,20.0\r\n60.0,20.0\r\n")
    said = [ear.next() for _ in range(8)]
    kinds = [one.kind if isinstance(one, Fault) else one.value for one in said]
    assert kinds == [60.1, 20.0, FaultKind.DISAGREES, 20.0, FaultKind.OPEN_PROBE, 20.0, 60.0, 20.0]
    assert isinstance(said[2], Fault)
    assert said[2].text == (
        "bath, water: it went from 60.1 to 140.1 °C, as when it is switched to another unit. Set it back to °C; if "
        "nobody touched it, take the probe out for a moment."
    )


def test_a_scale_plugged_in_again_is_judged_anew() -> None:
    agreement = Agreement(scale(0.01), "g")

    def said(value: float) -> str:
        return agreement.objection(Reading("fine", "mass", Quantity.MASS, value, 0.0, resolution=0.01))

    assert [bool(said(value)) for value in (200.0, 7.05, 9.0)] == [False, True, True]
    agreement.reopened()
    assert said(9.0) == ""


# --- the bench file ------------------------------------------------------------------------------------------


def test_the_bench_file_says_in_which_unit_it_is(tmp_path) -> None:
    settings = scale(0.01 * OUNCE_G, "oz", capacity_g=3000.0)
    path = tmp_path / "bench.toml"
    path.write_text(section(settings), encoding="utf-8")
    assert 'readability = "0.01 oz"' in path.read_text(encoding="utf-8")
    (read,) = read_bench(path).devices
    assert (read.readability_unit, read.readability_g) == ("oz", pytest.approx(0.01 * OUNCE_G))
