"""The ports are real: opened by pyserial, unplugged, plugged in again, flooded, asked."""

from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest
import serial

from drivers.simulated import BENCH_SCALE, DEFAULT_DEVICES, SimulatedBench, SimulationError, UnknownName

Opener = Callable[[str], serial.SerialBase]
Rest = Callable[[], None]


def drained(bench: SimulatedBench, port: serial.SerialBase, name: str, already: int = 0) -> bytes:
    """Everything sent and not yet read; the port's own timeout bounds the wait."""
    return bytes(port.read(bench.sent_bytes(name) - already))


def test_lines_arrive_through_pyserial(bench: SimulatedBench, plug_in: Opener) -> None:
    scale, thermometer, ph_meter = plug_in("bench scale"), plug_in("thermometer"), plug_in("ph meter")
    bench.advance(2.0)
    assert drained(bench, scale, "bench scale").startswith(b"ST,GS,+00000.")
    assert drained(bench, thermometer, "thermometer").startswith(b"T1=+02")
    assert drained(bench, ph_meter, "ph meter").startswith(b"pH ")


def test_a_moving_scale_speaks_ten_times_a_second_and_a_resting_one_once(
    bench: SimulatedBench, plug_in: Opener, rest: Rest
) -> None:
    scale = plug_in("bench scale")
    bench.advance(10.0)
    resting = drained(bench, scale, "bench scale")
    assert resting.count(b"\r\n") == 10
    bench.world.put_on("bench scale", "pot")
    bench.advance(1.0)
    moving = drained(bench, scale, "bench scale", len(resting))
    assert moving.count(b"\r\n") == 10
    assert moving.count(b"US,") >= 8


def test_what_nobody_reads_is_lost_and_holds_nothing_up(bench: SimulatedBench, plug_in: Opener) -> None:
    bench.advance(3600.0)
    assert bench.sent_bytes("bench scale") == 0
    port = plug_in("thermometer")
    bench.advance(3 * 3600.0)  # more than any buffer holds
    sent = bench.sent_bytes("thermometer")
    assert 4000 < sent < 3 * 3600 * 23
    assert drained(bench, port, "thermometer").startswith(b"T1=")


def test_bytes_are_counted_for_the_reader_of_the_view(bench: SimulatedBench, plug_in: Opener) -> None:
    first = plug_in("bench scale")
    bench.advance(5.0)
    assert bench.sent_bytes("bench scale") == len(drained(bench, first, "bench scale")) == 5 * 18
    first.close()
    bench.advance(1.0)
    assert not bench.opened("bench scale")
    plug_in("bench scale")
    assert bench.sent_bytes("bench scale") == 0


def test_unplugged_the_reader_fails_and_the_link_is_gone_then_comes_back(
    bench: SimulatedBench, plug_in: Opener
) -> None:
    port = plug_in("bench scale")
    bench.advance(1.0)
    drained(bench, port, "bench scale")
    bench.faults.unplug("bench scale")
    with pytest.raises((serial.SerialException, OSError)):
        port.read(1)
    with pytest.raises(serial.SerialException):
        serial.Serial(bench.bench.devices[0].port)
    bench.advance(1.0)
    bench.faults.replug("bench scale")
    again = plug_in("bench scale")
    bench.advance(1.0)
    assert drained(bench, again, "bench scale").endswith(b",g\r\n")


def test_a_second_reader_is_refused(bench: SimulatedBench, plug_in: Opener) -> None:
    plug_in("bench scale")
    with pytest.raises(serial.SerialException):
        serial.Serial(bench.bench.devices[0].port, exclusive=True)


def test_the_same_over_tcp() -> None:
    with SimulatedBench(transport="tcp") as bench:
        url = bench.bench.devices[0].port
        assert url.startswith("socket://127.0.0.1:")
        with serial.serial_for_url(url, timeout=2.0) as port:
            bench.advance(2.0)
            assert port.read(18).startswith(b"ST,GS,")
            bench.faults.unplug("bench scale")
            with pytest.raises(serial.SerialException):
                port.read(100)
        bench.faults.replug("bench scale")
        with serial.serial_for_url(url, timeout=2.0) as port:
            bench.advance(1.0)
            assert port.read(18).startswith(b"ST,GS,")


@pytest.fixture
def asked() -> Iterator[tuple[SimulatedBench, serial.Serial]]:
    with SimulatedBench(devices=(replace(BENCH_SCALE, format="prompted-reply"),)) as bench:
        bench.world.add_vessel("pot", 250.0, 800.0)
        with serial.Serial(bench.bench.devices[0].port, timeout=2.0) as port:
            bench.advance(0.0)
            yield bench, port


def test_a_prompted_scale_speaks_when_asked_only(asked: tuple[SimulatedBench, serial.Serial]) -> None:
    bench, port = asked
    bench.advance(5.0)
    assert bench.sent_bytes("bench scale") == 0
    port.write(b"S\r\n")
    bench.advance(0.1)
    assert port.read(18) == b"S S        0.0 g\r\n"
    port.write(b"X\r\n")
    bench.advance(0.1)
    assert port.read(4) == b"ES\r\n"


def test_a_reader_that_clears_nothing_is_served_after_a_second(bench: SimulatedBench) -> None:
    with open(bench.bench.devices[0].port, "rb", buffering=0) as plain:
        bench.advance(1.0)
        bench.advance(1.0)
        bench.advance(1.0)
        assert plain.read(18).startswith(b"ST,GS,")


def test_closing_removes_the_links_and_may_be_done_twice() -> None:
    bench = SimulatedBench()
    address = bench.bench.devices[0].port
    bench.close()
    bench.close()
    with pytest.raises(serial.SerialException):
        serial.Serial(address)


def test_names_that_nothing_answers_to(bench: SimulatedBench) -> None:
    for act in (
        lambda: bench.faults.unplug("teapot"),
        lambda: bench.world.put_on("bench scale", "teapot"),
        lambda: bench.world.probe_into("probe 9", None),
        lambda: bench.sent_bytes("teapot"),
    ):
        with pytest.raises(UnknownName, match="there are: "):
            act()


def test_devices_that_cannot_be_simulated() -> None:
    with pytest.raises(SimulationError, match="it can write: status-headed"):
        SimulatedBench(devices=(replace(BENCH_SCALE, format="smoke-signals"),))
    with pytest.raises(SimulationError, match="share the name 'probe 1'"):
        SimulatedBench(devices=(*DEFAULT_DEVICES, replace(DEFAULT_DEVICES[2], name="other")))


def test_a_reader_that_came_back_between_two_looks_is_counted_anew(
    bench: SimulatedBench, plug_in: Opener
) -> None:
    first = plug_in("bench scale")
    bench.advance(5.0)
    assert bench.sent_bytes("bench scale") == 5 * 18
    first.close()
    again = plug_in("bench scale")
    assert bench.sent_bytes("bench scale") == 0
    bench.advance(2.0)
    assert len(drained(bench, again, "bench scale")) == 2 * 18
