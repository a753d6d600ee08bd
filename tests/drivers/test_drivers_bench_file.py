"""The bench file: read whole, every problem at once, and added to without touching what stands there."""

from __future__ import annotations

from pathlib import Path

import pytest

from drivers.bench_file import read_bench, write_section
from drivers.errors import BadBenchFile
from drivers.settings import Bench, DeviceSettings, UsbIdentity

GOOD = """\
# Low Tide Bench, invented for the demo
[[device]]
name = "big scale"
kind = "scale"
port = "/dev/ttyUSB0"
format = "status-headed"
baud = 2400
bits = 7
parity = "E"
period = "200 ms"
capacity = "3 kg"
readability = "0.1 g"
usb = { vid = 0x1234, pid = 0x5678, serial_number = "A1" }

[[device]]
name = "baths"
kind = "thermometer"
port = "socket://192.168.1.20:4001"
format = "modbus-register"
period = "1 s"
probes = ["water", "oil"]
options = { register = 100, scale = "0.1" }

[[device]]
name = "pH"
kind = "ph meter"
port = "COM3"
format = "ph-line"
"""


def write(folder: Path, text: str) -> Path:
    path = folder / "bench.toml"
    path.write_text(text, encoding="utf-8")
    return path


def problems(path: Path) -> tuple[str, ...]:
    with pytest.raises(BadBenchFile) as bad:
        read_bench(path)
    return bad.value.problems


def test_a_bench_is_read_whole(tmp_path: Path) -> None:
    path = write(tmp_path, GOOD)
    assert read_bench(path) == Bench(
        (
            DeviceSettings(
                "big scale",
                "scale",
                "/dev/ttyUSB0",
                "status-headed",
                ("mass",),
                baud=2400,
                bits=7,
                parity="E",
                period_s=0.2,
                capacity_g=3000.0,
                readability_g=0.1,
                usb=UsbIdentity(0x1234, 0x5678, "A1"),
            ),
            DeviceSettings(
                "baths",
                "thermometer",
                "socket://192.168.1.20:4001",
                "modbus-register",
                ("water", "oil"),
                period_s=1.0,
                options={"register": "100", "scale": "0.1"},
            ),
            DeviceSettings("pH", "ph meter", "COM3", "ph-line", ("ph",)),
        ),
        str(path),
    )


@pytest.mark.parametrize(
    ("change", "to", "line", "says"),
    [
        ('name = "big scale"', "", 2, "name is missing; add a line name = ..."),
        ('kind = "scale"', 'kind = "kettle"', 4, "must be 'scale', 'thermometer' or 'ph meter'"),
        ("baud = 2400", 'baud = "fast"', 7, "device.1.baud has to be a whole number, without quotes"),
        ("baud = 2400", "baud = 0", 7, "greater than or equal to 50"),
        ("baud = 2400", "bauds = 2400", 7, "bauds is not known here"),
        ('parity = "E"', 'parity = "even"', 9, "must be 'N', 'E' or 'O'"),
        ('"200 ms"', '"0,2 s"', 10, "period: '0,2 s' is not a number and a unit"),
        ('"200 ms"', '"0 s"', 10, "period is 0 s; write one above zero"),
        ('"200 ms"', '"2 kg"', 10, "is not a time"),
        ('"3 kg"', '"3 l"', 11, "capacity: '3 l' is not a mass"),
        ("vid = 0x1234", "vid = 0x12345", 13, "less than or equal to 65535"),
        ('"status-headed"', '"status-haeded"', 6, "there is no format 'status-haeded'"),
        ('"status-headed"', '"multi-channel"', 6, "is for a thermometer, not a scale"),
        ("192.168.1.20:4001", "192.168.1.20", 18, "lacks a host or a port"),
        ("192.168.1.20:4001", "192.168.1.20:x", 18, "lacks a host or a port"),
        ('["water", "oil"]', '["water", "water"]', 21, "probes with different names"),
        ('probes = ["water", "oil"]', "", 15, "probes with different names"),
        ("register = 100", "regsiter = 100", 22, "regsiter is not an option of a register"),
        ('scale = "0.1"', 'scale = "0,1"', 22, "a number with a decimal point"),
        ('name = "baths"', 'name = "big scale"', 16, "name 'big scale' already stands on line 3"),
        ('name = "baths"', 'name = "BIG\u00a0sc\u200bale"', 16, "already stands on line 3"),
        ('name = "baths"', 'name = "b\u0430ths\u200b"', 16, "signs that cannot be seen"),
        ('name = "baths"', 'name = "ba\\nths"', 16, "signs that cannot be seen"),
        ('name = "baths"', 'name = " "', 16, "is empty"),
        ('["water", "oil"]', '["oil", "\u043eil"]', 21, "probes with different names"),
        ('port = "COM3"', 'port = "/dev/tty\\u0000"', 27, "is no device"),
        ('port = "COM3"', 'port = "sysfs:/sys/\\u0000"', 27, "sysfs"),
        ('port = "COM3"', 'port = "/dev/ttyUSB0"', 27, "port '/dev/ttyUSB0' already stands on line 5"),
        ('port = "COM3"', 'port = "COM3"\nprobes = ["p"]', 28, "a ph meter has no probes"),
        ('port = "COM3"', 'port = "COM3"\ncapacity = "3 kg"', 24, "only a scale has a capacity"),
        ("# Low", 'formats = "mine"\n# Low', 1, "there is no folder"),
        ('name = "baths"', "name = baths", 16, "can be read; put text in quotes"),
        ('name = "baths"', 'name = "baths', 16, "a text is not closed on its line; end it with"),
        ('name = "baths"', "name = " + "[" * 2000 + "]" * 2000, 1, "nested far too deep"),
    ],
)
def test_a_mistake_is_one_sentence_with_file_and_line(
    tmp_path: Path, change: str, to: str, line: int, says: str
) -> None:
    assert change in GOOD
    path = write(tmp_path, GOOD.replace(change, to, 1))
    found = problems(path)
    assert any(says in problem and problem.startswith(f"{path}:{line}: ") for problem in found), found


def test_every_problem_is_told_at_once(tmp_path: Path) -> None:
    path = write(
        tmp_path, GOOD.replace('"200 ms"', '"x"').replace('"3 kg"', '"y"').replace('"ph-line"', '"z"')
    )
    assert len(problems(path)) == 3


def test_an_empty_or_missing_or_binary_file_is_a_sentence(tmp_path: Path) -> None:
    assert "device is missing" in problems(write(tmp_path, ""))[0]
    assert "no such file" in problems(tmp_path / "nowhere.toml")[0]
    binary = tmp_path / "bench.bin"
    binary.write_bytes(b"\xff\xfe\x00")
    assert "not text in UTF-8" in problems(binary)[0]
    assert "cannot be read" in problems(tmp_path)[0]


def test_a_makers_own_format_is_found_beside_the_bench_file(tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    own = 'title = "own"\nkinds = ["scale"]\nlines = ["<{value}>"]\nfixed_unit.scale = "g"\n'
    (tmp_path / "mine" / "angled.toml").write_text(own + '[[example]]\nline = "<1.5>"\nreads = "1.5 g"\n')
    bench = read_bench(write(tmp_path, 'formats = "mine"\n' + GOOD.replace("status-headed", "angled")))
    assert bench.devices[0].format == "angled"
    assert bench.formats_folder == str(tmp_path / "mine")


NEW = DeviceSettings(
    'the "fine" scale é',
    "scale",
    "/dev/ttyUSB1",
    "prompted-reply",
    ("mass",),
    bits=7,
    parity="O",
    period_s=0.25,
    readability_g=0.01,
    usb=UsbIdentity(1, 2),
    options={"request": "SI"},
)


def test_a_written_section_reads_back_the_same(tmp_path: Path) -> None:
    path = tmp_path / "bench.toml"
    write_section(path, NEW)
    bath = DeviceSettings("bath", "thermometer", "COM9", "multi-channel", ("a", "b"), period_s=1.0)
    write_section(path, bath)
    assert read_bench(path).devices == (NEW, bath)


def test_what_stood_there_stays_byte_for_byte(tmp_path: Path) -> None:
    path = write(tmp_path, GOOD)
    write_section(path, NEW)
    assert path.read_text(encoding="utf-8").startswith(GOOD)
    assert len(read_bench(path).devices) == 4
    assert [entry.name for entry in tmp_path.iterdir()] == ["bench.toml"]


def test_a_name_used_twice_is_refused_and_nothing_is_written(tmp_path: Path) -> None:
    path = write(tmp_path, GOOD)
    twice = DeviceSettings("big scale", "scale", "COM8", "labelled", ("mass",))
    with pytest.raises(BadBenchFile, match="already stands on line 3"):
        write_section(path, twice)
    assert path.read_text(encoding="utf-8") == GOOD


def test_a_folder_that_is_not_there_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(BadBenchFile, match="cannot be written"):
        write_section(tmp_path / "nowhere" / "bench.toml", NEW)
