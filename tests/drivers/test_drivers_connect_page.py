"""What docs/connect-a-scale.md shows is what the code does."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from drivers.bench_file import read_bench
from drivers.formats import LineParser, describe, read_format, shipped_formats

PAGE = (Path(__file__).parents[2] / "docs" / "connect-a-scale.md").read_text(encoding="utf-8")
SHOWN = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
BENCH, *SECTIONS = [text for text in SHOWN if text.startswith("[[device]]")]
FORMAT, *MORE = [text for text in SHOWN if text not in (BENCH, *SECTIONS)]
ROWS = re.findall(r"^\| `([a-z-]+)` \| `([^`]+)` \| (.+) \|$", PAGE, re.MULTILINE)


def test_the_bench_file_shown_is_a_bench(tmp_path: Path) -> None:
    path = tmp_path / "bench.toml"
    path.write_text(BENCH, encoding="utf-8")
    assert [device.name for device in read_bench(path).devices] == [
        "big scale",
        "bath thermometer",
        "pH meter",
    ]


def test_the_sections_of_devices_without_a_serial_port_go_together_with_it(tmp_path: Path) -> None:
    path = tmp_path / "bench.toml"
    other_names = [text.replace('"bath thermometer"', '"bath probe"') for text in SECTIONS]
    path.write_text("\n".join((BENCH, *other_names)), encoding="utf-8")
    ports = [device.port.partition(":")[0] for device in read_bench(path).devices[3:]]
    assert ports == ["hid", "sysfs", "sysfs"]


def test_the_format_shown_reads_its_lines(tmp_path: Path) -> None:
    path = tmp_path / "old-scale.toml"
    path.write_text(FORMAT, encoding="utf-8")
    parser = LineParser(read_format(path), "scale")
    assert describe(parser.read(b"#~ 1.234,7 Gr;"), "scale") == "1234.7 g, moving"


@pytest.mark.parametrize("text", MORE)
def test_every_other_format_shown_reads_its_own_examples(tmp_path: Path, text: str) -> None:
    path = tmp_path / "shown.toml"
    path.write_text(text, encoding="utf-8")
    assert read_format(path).examples


@pytest.mark.parametrize(("key", "line", "reads"), ROWS)
def test_every_line_in_the_table_reads_as_it_says(key: str, line: str, reads: str) -> None:
    form = shipped_formats()[key]
    parser = LineParser(form, form.kinds[0], reads.count("; ") + 1)
    assert describe(parser.read(line.replace("␣", " ").encode()), form.kinds[0]) == reads


def test_every_shipped_format_is_on_the_page() -> None:
    assert {key for key, _, _ in ROWS} | {"modbus-register"} == set(shipped_formats())
