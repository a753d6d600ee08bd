"""Thermometers that Linux shows as files: what the files say, what is no reading, and the device over real files."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drivers.bench_file import read_bench, write_section
from drivers.devices import open_device
from drivers.errors import BadDevice
from drivers.finding import Search, listen
from drivers.formats import shipped_formats
from drivers.formats.channel_reading import PossibleRange
from drivers.links import open_link
from drivers.ports import Reopening
from drivers.proposal import proposed_section
from drivers.readings import FaultKind, Quantity
from drivers.settings import DeviceSettings
from drivers.sysfs_link import crc_of, read_temperature, temperature_files

ANY = PossibleRange.of(Quantity.TEMPERATURE)
WAIT_S = 5.0
PROBE = "sysfs:/sys/bus/w1/devices/28-0316a2795ff1/w1_slave"
CHIP = "sysfs:/sys/class/hwmon/hwmon0/temp1_input"
#: As a kernel prints them.
GOOD = b"72 01 4b 46 7f ff 0e 10 57 : crc=57 YES\n72 01 4b 46 7f ff 0e 10 57 t=23125\n"
ZEROS = b"00 00 00 00 00 00 00 00 00 : crc=00 YES\n00 00 00 00 00 00 00 00 00 t=0\n"


@pytest.mark.parametrize(
    ("content", "celsius"),
    [(b"23125\n", 23.125), (b"-1500\n", -1.5), (b"0\n", 0.0), (b"71300", 71.3), (GOOD, 23.125)],
)
def test_what_a_file_says(content, celsius) -> None:
    (reading,) = read_temperature(content, ANY)
    assert (reading.value, reading.channel, reading.unit) == (celsius, 0, "degC")


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (b"", FaultKind.UNREADABLE),
        (b"23.125\n", FaultKind.UNREADABLE),
        (b"23125 mC\n", FaultKind.UNREADABLE),
        (b"23125\n23187\n", FaultKind.UNREADABLE),
        (GOOD.replace(b"YES", b"NO"), FaultKind.UNREADABLE),
        (GOOD.replace(b"72 01", b"73 01"), FaultKind.UNREADABLE),
        (GOOD.replace(b"crc=57", b"crc=58"), FaultKind.UNREADABLE),
        (GOOD.replace(b"57 t=", b"56 t="), FaultKind.UNREADABLE),
        (GOOD[:40], FaultKind.UNREADABLE),
        (ZEROS, FaultKind.OPEN_PROBE),
        (b"-127000\n", FaultKind.OPEN_PROBE),
        (b"400000\n", FaultKind.OUT_OF_RANGE),
    ],
)  # fmt: skip
def test_what_is_no_reading(content, kind) -> None:
    (reading,) = read_temperature(content, ANY)
    assert (reading.value, reading.fault) == (None, kind)


@given(scratchpad=st.binary(min_size=8, max_size=8), bit=st.integers(0, 63))
def test_a_flipped_bit_never_passes_the_check(scratchpad, bit) -> None:
    sent = scratchpad + bytes([crc_of(scratchpad)])
    assert crc_of(sent) == 0
    flipped = (int.from_bytes(sent, "little") ^ 1 << bit).to_bytes(9, "little")
    assert crc_of(flipped) != 0


# --- the device ------------------------------------------------------------------------------------------


@pytest.fixture
def sysfs(tmp_path: Path) -> Path:
    """Folders and links as a kernel arranges them."""
    root = tmp_path / "sys"
    chip = root / "devices/i2c-1/1-0048/hwmon/hwmon0"
    probe = root / "devices/w1_bus_master1/28-0316a2795ff1"
    for folder in (chip, probe, root / "class/hwmon", root / "bus/w1/devices"):
        folder.mkdir(parents=True)
    (chip / "temp1_input").write_bytes(b"21500\n")
    (chip / "name").write_text("lm75\n")
    (probe / "w1_slave").write_bytes(GOOD)
    (probe / "name").write_text("28-0316a2795ff1\n")
    (root / "class/hwmon/hwmon0").symlink_to(chip)
    (root / "bus/w1/devices/28-0316a2795ff1").symlink_to(probe)
    return root


def probe(port: str, **more) -> DeviceSettings:
    return DeviceSettings("bath", "thermometer", port, "temperature-file", ("bath",), period_s=1.0, **more)


@pytest.fixture
def started(sysfs, start):
    reopening = Reopening(waits_s=(0.0, 0.02), open=partial(open_link, sysfs_root=sysfs))
    return partial(start, reopening=reopening)


def test_it_is_read_once_a_period_and_each_time_anew(sysfs, started, ear, clock) -> None:
    device = started(probe(CHIP))
    for millidegrees, celsius in ((21500, 21.5), (21562, 21.562)):
        (sysfs / "class/hwmon/hwmon0/temp1_input").write_text(f"{millidegrees}\n")
        device.tend(clock.pass_s(1.0))
        reading = ear.reading()
        assert (reading.value, reading.channel, reading.quantity) == (celsius, "bath", Quantity.TEMPERATURE)
    device.tend(clock.pass_s(0.5))
    ear.nothing_more()


def test_a_failed_check_is_a_fault_and_passes_with_the_next_reading(sysfs, started, ear, clock) -> None:
    file = sysfs / "bus/w1/devices/28-0316a2795ff1/w1_slave"
    device = started(probe(PROBE))
    file.write_bytes(GOOD.replace(b"YES", b"NO"))
    device.tend(clock.pass_s(1.0))
    assert "fails its check" in ear.fault(FaultKind.UNREADABLE).text
    file.write_bytes(GOOD)
    device.tend(clock.pass_s(1.5))
    assert ear.reading().value == 23.125


def test_a_probe_that_goes_away_is_lost_and_found_when_it_is_back(sysfs, started, ear, clock) -> None:
    file = sysfs / "bus/w1/devices/28-0316a2795ff1/w1_slave"
    device = started(probe(PROBE))
    file.unlink()
    device.tend(clock.pass_s(1.0))
    ear.fault(FaultKind.UNPLUGGED)
    file.write_bytes(GOOD)
    assert device.port.wait_open(WAIT_S)
    device.tend(clock.pass_s(1.0))
    device.tend(clock.pass_s(1.0))
    assert ear.reading().value == 23.125


def test_chips_that_were_numbered_anew_are_never_taken_for_the_probe(sysfs, started, ear) -> None:
    (sysfs / "class/hwmon/hwmon0/name").write_text("coretemp\n")
    started(probe(CHIP, options={"chip": "lm75"}), wait=False)
    assert "is the chip coretemp now" in ear.fault(FaultKind.NO_PORT).text


def test_more_probes_than_one_want_sections_of_their_own() -> None:
    two = DeviceSettings("bath", "thermometer", CHIP, "temperature-file", ("a", "b"))
    with pytest.raises(BadDevice, match="one section for each"):
        open_device(two, lambda: 0.0, lambda spoken: None)


# --- finding them ----------------------------------------------------------------------------------------


def test_each_is_found_once_with_its_chip(sysfs) -> None:
    assert [(one.address, one.chip) for one in temperature_files(sysfs)] == [
        (CHIP, "lm75"),
        (PROBE, "28-0316a2795ff1"),
    ]
    (sysfs / "devices/w1_bus_master1/28-0316a2795ff1/temperature").write_text("23125\n")
    assert temperature_files(sysfs)[1].address == PROBE.replace("w1_slave", "temperature")


def test_a_one_wire_probe_that_is_shown_as_a_chip_too_is_offered_by_its_own_number(sysfs) -> None:
    again = sysfs / "class/hwmon/hwmon1"
    again.mkdir()
    (again / "temp1_input").write_text("23125\n")
    (again / "name").write_text("w1_slave_temp\n")
    assert [one.address for one in temperature_files(sysfs)] == [CHIP, PROBE]


def test_listen_says_what_each_is_and_its_section_is_read_again(sysfs, tmp_path, monkeypatch) -> None:
    monkeypatch.setattr("drivers.finding.list_ports.comports", list)
    monkeypatch.setitem(sys.modules, "hidraw", None)
    monkeypatch.setitem(sys.modules, "hid", None)
    own = sysfs / "class/hwmon/hwmon7"
    own.mkdir()
    (own / "temp1_input").write_text("45000\n")
    (own / "name").write_text("coretemp\n")
    told: list[str] = []
    heard = listen(
        None, search=Search((9600,), 1.0, sysfs_root=sysfs), formats=shipped_formats(), progress=told.append
    )
    assert any("pip install hidapi" in line for line in told)
    chip, wire = heard
    assert "Left out, as they measure the computer itself: coretemp." in told
    assert (chip.port, chip.description, chip.fits[0].reads) == (CHIP, "chip lm75", ("21.5 °C",))
    search = Search((9600,), 1.0, sysfs_root=sysfs)
    (inner,) = listen([CHIP.replace("hwmon0", "hwmon7")], search=search, formats=shipped_formats())
    assert "measures the computer itself (chip coretemp)" in inner.trouble
    assert wire.fits[0].kind == "thermometer"
    file = tmp_path / "bench.toml"
    write_section(file, proposed_section(chip, "bath"))
    (device,) = read_bench(file).devices
    assert (device.port, device.format, device.options) == (CHIP, "temperature-file", {"chip": "lm75"})
