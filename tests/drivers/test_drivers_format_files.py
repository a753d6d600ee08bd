"""A maker's own line format: one that works, and every way it can be wrong, said with file and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from drivers.errors import BadLineFormat
from drivers.formats import LineParser, formats_with, read_format, shipped_formats

OWN = """\
title = "Comma scale"
kinds = ["scale"]
lines = ["#{state} {value}{ }{unit};"]
decimal_mark = ","
grouping = "."

[units]
Gr = "g"

[words.state]
"*" = "stable"
"~" = "moving"

[[example]]
line = "#* 1.234,5 Gr;"
reads = "1234.5 g, stable"
"""


def write(folder: Path, text: str) -> Path:
    path = folder / "own.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_an_own_format_is_data_and_reads(tmp_path: Path) -> None:
    write(tmp_path, OWN)
    (spoke,) = LineParser(formats_with(tmp_path)["own"], "scale").read(b"#~ 12,5 Gr;")
    assert (spoke.value, spoke.stable, spoke.resolution) == (12.5, False, 0.1)


def test_shipped_formats_stay_beside_it(tmp_path: Path) -> None:
    write(tmp_path, OWN)
    assert set(formats_with(tmp_path)) == {"own", *shipped_formats()}


@pytest.mark.parametrize(
    ("change", "to", "line", "says"),
    [
        ('kinds = ["scale"]', 'kinds = ["kettle"]', 2, "must be 'scale', 'thermometer' or 'ph meter'"),
        ('title = "Comma scale"', "", 1, "title is missing"),
        ("decimal_mark", "decimal_sign", 4, "decimal_sign is not known here"),
        ('grouping = "."', 'grouping = ","', 5, "grouping and decimal_mark are the same sign"),
        ('"~" = "moving"', '"~" = "wobbling"', 12, "must be 'stable'"),
        ("{value}", "{number}", 3, "{number} has no table [words.number]"),
        ("{value}", "{VALUE!}", 3, "{VALUE!} is no part"),
        ("{value}", "{value}{value}", 3, "{value} stands twice"),
        ("{value}", "{rest}{value}", 3, "{rest} must stand at the end"),
        ("{unit};", "{unit}{rest}", 3, "{rest} could hide what belongs to the value"),
        ("{value}", "{record}{value}", 3, "{value} follows a number; something has to stand between them"),
        ("{value}", "{record}{ }{value}", 3, "{value} follows a number"),
        ("#{state} {value}", "#{state}1{value}", 3, "{value} follows a number"),
        ("{value}{ }{unit}", "{pounds} lb", 3, "{pounds} and {ounces} go together"),
        ("{value}{ }{unit}", "{pounds}:{ounces} {unit}", 3, "in place of {value} and {unit}"),
        ("{value}", "{value", 3, "a brace without its partner"),
        ("#{state}", "é{state}", 3, "outside printable ASCII"),
        ("{unit}", "", 3, "a line without a unit needs one"),
        ('Gr = "g"', 'Gr = "stone"', 8, "'stone' is not a unit"),
        ('Gr = "g"', 'kg = "g"', 8, "'kg' always means kg"),
        ('"1234.5 g, stable"', '"1234 g, stable"', 16, "reads '1234.5 g, stable', not '1234 g, stable'"),
        ("[[example]]", "[[sentinel]]\nvalue = 1.0\nmeans = 'net'\n[[example]]", 16, "a sentinel means"),
        ('grouping = "."', 'grouping = "."\nbetween = ","', 6, "between is also a sign inside numbers"),
        ('lines = ["#', 'lines = "#', 3, "own.toml:3: "),
    ],
)
def test_a_mistake_is_one_sentence_with_file_and_line(
    tmp_path: Path, change: str, to: str, line: int, says: str
) -> None:
    assert change in OWN
    path = write(tmp_path, OWN.replace(change, to, 1))
    with pytest.raises(BadLineFormat) as bad:
        read_format(path)
    assert any(says in problem and f"{path}:{line}:" in problem for problem in bad.value.problems), str(
        bad.value
    )


def test_every_problem_is_told_at_once(tmp_path: Path) -> None:
    path = write(tmp_path, OWN.replace("{value}", "{nope}").replace('Gr = "g"', 'Gr = "stone"'))
    with pytest.raises(BadLineFormat) as bad:
        read_format(path)
    assert len(bad.value.problems) == 2


def test_a_format_without_an_example_is_not_believed(tmp_path: Path) -> None:
    path = write(tmp_path, OWN.split("[[example]]")[0])
    with pytest.raises(BadLineFormat, match="no example"):
        read_format(path)


def test_a_missing_folder_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(BadLineFormat, match="no such folder"):
        formats_with(tmp_path / "nowhere")


@pytest.mark.parametrize("key", sorted(shipped_formats()))
def test_a_shipped_format_has_examples_that_were_checked_on_loading(key: str) -> None:
    form = shipped_formats()[key]
    assert form.is_modbus or len(form.examples) >= 3
