"""Which ports a bench file may name: devices of four sorts, and no file beside them, however it is spelled."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drivers.addresses import one_port, refused_address
from drivers.bench_file import read_bench
from drivers.errors import BadBenchFile, PortError
from drivers.links import SerialSettings, open_link

SECTION = '[[device]]\nname = "{name}"\nkind = "{kind}"\nport = "{port}"\nformat = "{format}"\n{more}\n'
PERMITTED = {
    "hid:1234:5678": ("scale", "hid-report", ""),
    "hid:1234:abcd:A-1/7": ("scale", "hid-report", ""),
    "sysfs:/sys/class/hwmon/hwmon0/temp1_input": ("thermometer", "temperature-file", 'probes = ["a"]'),
    "sysfs:/sys/bus/w1/devices/28-0316a2795ff1/temperature": ("thermometer", "temperature-file", 'probes = ["a"]'),
    "sysfs:/sys/bus/w1/devices/28-0316a2795ff1/w1_slave": ("thermometer", "temperature-file", 'probes = ["a"]'),
    "/dev/rfcomm0": ("scale", "number-unit", ""),
}  # fmt: skip
REFUSED = [
    "hid:",
    "hid:1234",
    "hid:12345:5678",
    "hid:1234:567g",
    "hid:1234:5678:",
    "hid://1234:5678",
    "sysfs:",
    "sysfs:/etc/passwd",
    "sysfs:/sys/../etc/temp1_input",
    "sysfs:/sys/class/hwmon/hwmon0/../../../../etc/temp1_input",
    "sysfs:/sys//class/hwmon/hwmon0/temp1_input",
    "sysfs:/sys/class/hwmon/hwmon0/name",
    "sysfs:/sys/class/hwmon/hwmon0/temp1_crit",
    "sysfs:/sys/kernel/debug/temp1_input/x",
    "sysfs:sys/class/hwmon/hwmon0/temp1_input",
    "sysfs:///sys/class/hwmon/hwmon0/temp1_input",
    "SYSFS:/etc/shadow",
    "file:///sys/class/hwmon/hwmon0/temp1_input",
    "accounts.txt",
    "/etc/passwd",
    "/dev/../etc/passwd",
    "//etc/passwd",
    " /dev/ttyS0",
    "COM",
    "COM7.txt",
]


def bench(folder: Path, *ports: str) -> Path:
    """A bench file with a device at each port."""
    file = folder / "bench.toml"
    sections = []
    for n, port in enumerate(ports):
        kind, line_format, more = PERMITTED.get(port, ("scale", "number-unit", ""))
        sections.append(SECTION.format(name=f"d{n}", kind=kind, port=port, format=line_format, more=more))
    file.write_text("\n".join(sections), encoding="utf-8")
    return file


def test_what_may_be_named(tmp_path) -> None:
    assert [d.port for d in read_bench(bench(tmp_path, *PERMITTED)).devices] == list(PERMITTED)


@pytest.mark.parametrize("port", REFUSED)
def test_what_may_not_is_refused_with_its_line_and_never_opened(port, tmp_path) -> None:
    with pytest.raises(BadBenchFile, match=r"bench\.toml:4: .*; write "):
        read_bench(bench(tmp_path, port))
    with pytest.raises(PortError, match="Correct the port in the bench file"):
        open_link(port, SerialSettings(), tmp_path)


@pytest.fixture
def outside() -> Iterator[Path]:
    """A folder that does not lie under /dev, where this run may have its own in memory."""
    with tempfile.TemporaryDirectory() as folder:
        yield Path(folder)


def test_a_link_may_stand_for_a_device_and_for_nothing_else(outside: Path) -> None:
    notes, link = outside / "accounts.txt", outside / "scale"
    notes.write_text("three years of them")
    link.symlink_to(notes)
    assert "is no device" in refused_address(str(link))
    link.unlink()
    link.symlink_to("/dev/null")
    assert not refused_address(str(link))


def test_a_link_that_leads_away_from_the_kernels_files_is_not_followed(tmp_path) -> None:
    root = tmp_path / "sys"
    (root / "class/hwmon/hwmon0").mkdir(parents=True)
    secret = tmp_path / "temp1_input"
    secret.write_text("12000\n")
    (root / "class/hwmon/hwmon0/temp1_input").symlink_to(secret)
    (root / "class/hwmon/hwmon0/temp2_input").symlink_to(root / "uevent")
    (root / "uevent").write_text("12000\n")
    for name in ("temp1_input", "temp2_input"):
        with pytest.raises(PortError, match="leads away"):
            open_link(f"sysfs:/sys/class/hwmon/hwmon0/{name}", SerialSettings(), root)


def test_one_device_under_two_spellings_is_one_port(tmp_path) -> None:
    assert one_port("hid:12AB:00c8:A1") == one_port("hid:12ab:00C8:A1") != one_port("hid:12ab:00c8:B2")
    with pytest.raises(BadBenchFile, match="already stands on line 4"):
        read_bench(bench(tmp_path, "hid:1234:5678", "hid:1234:5678"))


@given(port=st.text(max_size=60) | st.from_regex(r"(hid|sysfs):[ -~]{0,40}", fullmatch=True))
def test_any_text_is_permitted_or_refused_and_nothing_else_happens(port) -> None:
    refused = refused_address(port)
    assert isinstance(refused, str)
    one_port(port.replace("\0", ""))
