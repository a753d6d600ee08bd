"""A USB weighing device through the same thread as a serial one: whole weighings, unplugging, who may open it."""

from __future__ import annotations

import sys

import pytest
from hid_bus import HidBus, hid_bus

from drivers.bench_file import read_bench, write_section
from drivers.devices import open_device
from drivers.errors import BadDevice
from drivers.finding import Search, listen
from drivers.formats import shipped_formats
from drivers.hid_link import open_hid
from drivers.proposal import proposed_section
from drivers.readings import FaultKind, Quantity
from drivers.settings import DeviceSettings, UsbIdentity

WAIT_S = 5.0
ADDRESS = "hid:1a2b:00c8"


@pytest.fixture
def bus(monkeypatch):
    monkeypatch.setattr("drivers.finding.list_ports.comports", list)  # this machine's own say nothing here
    with hid_bus() as made:
        yield made


def scale(port: str = ADDRESS, **more) -> DeviceSettings:
    return DeviceSettings("big scale", "scale", port, "hid-report", ("mass",), **more)


def test_a_whole_weighing(bus: HidBus, start, ear, clock) -> None:
    far = bus.plug_in()
    device = start(scale(capacity_g=3000.0, readability_g=0.1))
    sent = sum(
        far.show(grams, status) for grams, status in ((0, 2), (61.9, 3), (118.2, 3), (118.4, 4), (0.3, 5))
    )
    assert device.wait_received(sent, WAIT_S)
    said = [ear.reading() for _ in range(5)]
    assert [(one.value, one.stable) for one in said] == [
        (0.0, True), (61.9, False), (118.2, False), (118.4, True), (-0.3, None),
    ]  # fmt: skip
    assert {(one.device, one.channel, one.quantity, one.unit, one.at_s, one.resolution) for one in said} == {
        ("big scale", "mass", Quantity.MASS, "g", 100.0, 0.1)
    }
    far.show(400.0, 6)
    ear.fault(FaultKind.OVERLOAD)
    far.send(b"\x05\x0a")
    far.send(b"\x03\x04")
    ear.fault(FaultKind.UNREADABLE)
    far.show(12.0)
    assert ear.reading().value == 12.0


def test_reports_that_come_fast_are_never_glued_together(bus: HidBus, start, ear) -> None:
    far = bus.plug_in()
    device = start(scale())
    sent = sum(far.show(n / 10) for n in range(200))
    assert device.wait_received(sent, WAIT_S)
    assert [ear.reading().value for _ in range(200)] == [n / 10 for n in range(200)]


def test_pulled_out_it_is_lost_and_plugged_in_elsewhere_it_is_found(bus: HidBus, start, ear) -> None:
    far = bus.plug_in()
    device = start(scale())
    far.show(1.0)
    assert ear.reading().value == 1.0
    bus.pull_out(far)
    assert "Check the plug of big scale" in ear.fault(FaultKind.UNPLUGGED).text
    back = bus.plug_in()
    assert device.port.wait_open(WAIT_S)
    back.show(2.0)
    assert ear.reading().value == 2.0
    ear.nothing_more()


def test_it_falls_silent_like_any_other(bus: HidBus, start, ear, clock) -> None:
    far = bus.plug_in()
    device = start(scale(period_s=0.5))
    far.show(1.0)
    ear.reading()
    device.tend(clock.pass_s(2.1))
    ear.fault(FaultKind.SILENT)


def test_a_unit_key_is_noticed_as_on_a_serial_scale(bus: HidBus, start, ear) -> None:
    far = bus.plug_in()
    start(scale(readability_g=0.1))
    far.show(100.0)
    ear.reading()
    far.send(bytes.fromhex("03 04 0b ff 2300"))
    assert "it shows oz" in ear.fault(FaultKind.DISAGREES).text


def test_where_it_is_not_there_or_may_not_be_opened_or_is_no_scale_a_sentence_says_so(
    bus: HidBus, start, ear
) -> None:
    device = start(scale(), wait=False)
    assert ear.fault(FaultKind.NO_PORT).text == (
        f"There is no scale {ADDRESS}. Plug it in and switch it on; it is taken by itself."
    )
    mouse = bus.plug_in(descriptor=bytes.fromhex("05010902a10185037508950109308102c0"), page=0)
    device.stop()
    start(scale(), wait=False)
    assert "is no scale" in ear.fault(FaultKind.NO_PORT).text
    bus.pull_out(mouse)


def test_who_may_not_open_it_reads_what_mends_that(bus: HidBus, start, ear, tmp_path, monkeypatch) -> None:
    far = bus.plug_in()
    node = tmp_path / "hidraw0"
    node.touch()
    bus.plugged[str(node).encode()] = bus.plugged.pop(far.entry["path"])
    far.entry["path"] = str(node).encode()
    bus.locked = True
    monkeypatch.setattr("drivers.hid_link.os.access", lambda path, mode: False)
    start(scale(), wait=False)
    assert "Install the rule for scales" in ear.fault(FaultKind.NO_PERMISSION).text


def test_two_alike_are_told_apart_by_their_serial_number(bus: HidBus, start, ear) -> None:
    first, second = bus.plug_in("A1"), bus.plug_in("B2")
    start(scale(), wait=False)
    assert "2 scales look like" in ear.fault(FaultKind.NO_PORT).text
    start(scale(f"{ADDRESS}:B2"))
    first.show(1.0)
    second.show(2.0)
    assert ear.reading().value == 2.0


def test_without_hidapi_one_sentence(monkeypatch, start, ear) -> None:
    monkeypatch.setitem(sys.modules, "hidraw", None)
    monkeypatch.setitem(sys.modules, "hid", None)
    start(scale(), wait=False)
    assert "pip install hidapi" in ear.fault(FaultKind.NO_PORT).text


def test_the_real_hidapi_answers_for_a_device_that_is_not_there() -> None:
    pytest.importorskip("hidraw")
    from drivers.errors import PortMissing

    with pytest.raises(PortMissing, match="There is no scale hid:fffe:fffe"):
        open_hid("hid:fffe:fffe", 0.1)


def test_a_device_that_does_not_tell_its_descriptor_is_read_in_the_usual_layout(
    bus: HidBus, start, ear
) -> None:
    far = bus.plug_in(descriptor=b"")
    start(scale())
    far.show(33.3)
    assert ear.reading().value == 33.3


@pytest.mark.parametrize(
    ("settings", "why"),
    [
        (scale("/dev/ttyUSB0"), "format hid-report is for a port that begins with hid:"),
        (DeviceSettings("it", "scale", ADDRESS, "number-unit", ("mass",)), "such a port has no other format"),
        (DeviceSettings("it", "thermometer", ADDRESS, "hid-report", ("p",)), "begins with hid: is a scale"),
        (scale(options={"unit": "oz"}), "unit is not an option of hid-report"),
        (scale(usb=UsbIdentity(1, 2)), "Take usb out"),
    ],
)  # fmt: skip
def test_settings_that_cannot_work_are_a_sentence(settings, why) -> None:
    with pytest.raises(BadDevice, match=why):
        open_device(settings, lambda: 0.0, lambda spoken: None)


def test_listen_finds_it_and_writes_a_section_that_is_read_again(bus: HidBus, tmp_path) -> None:
    far = bus.plug_in()
    for grams in (0.0, 12.5, 100.0, 100.0, 100.0, 100.0):
        far.show(grams)
    told: list[str] = []
    heard = listen(
        None,
        search=Search((9600,), 1.0, sysfs_root=tmp_path),
        formats=shipped_formats(),
        progress=told.append,
    )
    (one,) = [each for each in heard if each.port.startswith("hid:")]
    assert (one.port, one.description, one.trouble) == (f"{ADDRESS}:A1", "Low Tide Bench parcel scale", "")
    (fit,) = one.fits
    assert (fit.format, fit.kind, fit.resolution, fit.unit) == ("hid-report", "scale", 0.1, "g")
    assert fit.reads[-1] == "100 g, stable"
    assert f"{ADDRESS}:A1: listening" in told
    file = tmp_path / "bench.toml"
    write_section(file, proposed_section(one, "big scale"))
    assert "baud" not in file.read_text(encoding="utf-8")
    (device,) = read_bench(file).devices
    assert (device.port, device.format, device.readability_g) == (f"{ADDRESS}:A1", "hid-report", 0.1)


def test_listen_says_what_it_is_even_where_it_shows_no_weight(bus: HidBus, tmp_path) -> None:
    far = bus.plug_in()
    for _ in range(6):
        far.show(1.0, 6)
    (one,) = listen([ADDRESS], search=Search((9600,), 1.0, sysfs_root=tmp_path), formats=shipped_formats())
    assert one.trouble == f"{ADDRESS} is a USB scale that shows no number just now: above its range."


def test_a_keyboard_is_no_scale(bus: HidBus, tmp_path) -> None:
    bus.plug_in(page=0x01)
    heard = listen(None, search=Search((9600,), 0.1, sysfs_root=tmp_path), formats=shipped_formats())
    assert not [one for one in heard if one.port.startswith("hid:")]
