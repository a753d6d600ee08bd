"""A format built from three lines of known weight reads the device's other lines, and refuses what it cannot know."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drivers.format_building import KnownLine, NoFormat, build_format
from drivers.formats import LineParser, read_format


def built(folder: Path, known: list[tuple[str, float | None]], shown: str = "g") -> LineParser:
    file = folder / "own.toml"
    file.write_text(build_format("Own", [KnownLine(*one) for one in known], shown), encoding="utf-8")
    return LineParser(read_format(file), "scale")


def reads(parser: LineParser, line: str):
    (reading,) = parser.read(line.encode("latin-1"))
    return reading


@pytest.mark.parametrize(
    ("known", "other", "grams", "stable"),
    [
        ([("#* 0,0 Gr;", 0), ("#* 100,0 Gr;", 100), ("#* 200,1 Gr;", 200), ("#~ 57,3 Gr;", None)], "#~ 1234,5 Gr;", 1234.5, False),
        ([("W    0.0", 0), ("W  100.0", 100), ("W  199.9", 200)], "W -12.3", -12.3, None),
        ([("0017 28.11.2026 20:31:05 0 g", 0), ("0018 28.11.2026 20:31:06 100 g", 100), ("0019 28.11.2026 20:31:09 500 g", 500)],
         "0144 01.12.2026 07:00:11 321 g", 321, None),
        ([("WT:+000.000kg S", 0), ("WT:+000.100kg S", 100), ("WT:+001.000kg S", 1000), ("WT:+000.500kg D", None)],
         "WT:-000.250kg S", -250, True),
        ([("<0.00>", 0), ("<3.53>", 100), ("<7.05>", 200)], "<1.00>", 28.349523125, None),
        ([("N 0'000.0 g", 0), ("N 0'100.0 g", 100), ("N 1'000.0 g", 1000)], "N 2'345.6 g", 2345.6, None),
    ],
    ids=["own unit and signs for rest", "no unit", "date, time and number", "glued label, kg", "ounces shown", "thousands"],
)  # fmt: skip
def test_it_reads_other_lines_of_the_device(tmp_path, known, other, grams, stable) -> None:
    parser = built(tmp_path, known, "oz" if other.startswith("<") else "g")
    reading = reads(parser, other)
    assert reading.value == pytest.approx(grams)
    assert reading.stable is stable
    assert reads(parser, f"{other} extra").value is None, "closed like any other format"


@pytest.mark.parametrize(
    ("known", "why"),
    [
        ([("0 g", 0), ("100 g", 100)], "Three lines"),
        ([("0 g", 0), ("0 g", 0), ("100 g", 100)], "Three lines"),
        ([("0 g", 0), ("50 g", 100), ("99 g", 200)], "No number in its lines is the weight"),
        ([("0.0 0.0", 0), ("100.0 100.0", 100), ("200.0 200.0", 200)], "gross and net"),
        ([("a 0 g", 0), ("b 100 g", 100), ("c 200 g", 200)], "changes that is no weight: a, b, c"),
        ([("0 g", 0), ("100 g", 100), ("net 200 g", 200)], "different shapes"),
        ([("{0 g", 0), ("{100 g", 100), ("{200 g", 200)], "signs that no format can name"),
        ([("nothing", 0), ("at", 100), ("all", 200)], "No number"),
    ],
)
def test_what_cannot_be_made_out_is_refused(known, why) -> None:
    with pytest.raises(NoFormat, match=why):
        build_format("Own", [KnownLine(*one) for one in known])


@given(
    prefix=st.sampled_from(["", "W", "Wt: ", "ST,GS,", "# ", "N "]),
    width=st.integers(0, 9),
    places=st.integers(0, 3),
    mark=st.sampled_from([".", ","]),
    unit=st.sampled_from(["", "g", " g", "kg", " oz", " Gr"]),
    suffix=st.sampled_from(["", ";", " ok", ">"]),
    part=st.floats(0.01, 1.0),
)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=80, deadline=None)
def test_whatever_shape_a_device_prints_its_next_weight_is_read(
    tmp_path, prefix, width, places, mark, unit, suffix, part
) -> None:
    factor = {"kg": 1000.0, "oz": 28.349523125}.get(unit.strip(), 1.0)

    def line(grams: float) -> str:
        number = f"{grams / factor:.{places}f}".replace(".", mark).rjust(width)
        return f"{prefix}{number}{unit}{suffix}"

    weights = (0.0, 200.0 * factor, 700.0 * factor)
    parser = built(tmp_path, [(line(g), g) for g in weights])
    shown = round(part * 900.0, places)
    reading = reads(parser, line(shown * factor))
    assert reading.value == pytest.approx(shown * factor, rel=1e-9, abs=1e-9), line(shown * factor)
