"""The bench as it reads while nothing is being made: real ptys, a port nobody can open, and what is let go of."""

from __future__ import annotations

import os
import tty
from dataclasses import replace

import pytest

from benchapp.runtime.bench_monitor import BenchMonitor
from drivers.settings import DeviceSettings
from drivers.simulated import BENCH_SCALE, THERMOMETER


@pytest.fixture
def wires():
    """Two devices on ptys: our ends by the device's name, and their settings."""
    ends, devices, theirs = {}, [], []
    for device in (BENCH_SCALE, THERMOMETER):
        mine, other = os.openpty()
        tty.setraw(mine)
        tty.setraw(other)
        ends[device.name] = mine
        theirs.append(other)
        devices.append(replace(device, port=os.ttyname(other)))
    yield ends, devices
    for end in (*ends.values(), *theirs):
        os.close(end)


def values(watch):
    return {(s.device.name, s.channel): s.reading.value for s in watch.seen() if s.reading is not None}


class Time:
    now = 0.0

    def __call__(self):
        return self.now


def test_every_channel_shows_its_latest_and_what_cannot_be_opened_says_why(wires, tmp_path):
    ends, devices = wires
    missing = replace(BENCH_SCALE, name="lost scale", port=str(tmp_path / "no-such-port"))
    unknown = DeviceSettings("odd meter", "ph meter", str(tmp_path / "other"), "no such format", ("ph",))
    time = Time()
    watch = BenchMonitor([*devices, missing, unknown], None, time)
    watch.start()
    try:
        for _ in range(50):  # what is written before a port is open is lost, as on any wire
            os.write(ends["bench scale"], b"ST,GS,+   12.3 g\r\n")
            os.write(ends["thermometer"], b"21.5,64.0\r\n")
            with watch.heard:
                watch.heard.wait(0.2)
            if len(values(watch)) == 3:
                break
        assert values(watch) == {
            ("bench scale", "mass"): 12.3, ("thermometer", "probe 1"): 21.5, ("thermometer", "probe 2"): 64.0,
        }  # fmt: skip
        trouble = {s.device.name: s.trouble for s in watch.seen() if s.trouble}
        assert set(trouble) == {"lost scale", "odd meter"}
        assert "no-such-port" in trouble["lost scale"]
        assert "no such format" in trouble["odd meter"]
        assert all(s.fresh for s in watch.seen() if s.reading is not None)
        time.now = 60.0
        assert not any(s.fresh for s in watch.seen())
    finally:
        watch.stop()
    again = BenchMonitor(devices, None, time)  # the ports were let go of: exclusive, and opened once more
    again.start()
    again.stop()
    assert not any(s.trouble for s in again.seen())


def test_a_scale_is_at_rest_only_when_it_stands_still():
    time = Time()
    watch = BenchMonitor([BENCH_SCALE], None, time)
    from drivers.readings import Quantity, Reading

    def tell(grams):
        time.now += 0.2
        watch._sink(Reading("bench scale", "mass", Quantity.MASS, grams, time.now, None, None, 0.1))
        return watch.seen()[0].rest

    assert [tell(10.0 * n) for n in range(10)] == [None] * 10
    rests = [tell(100.0) for _ in range(30)]
    assert rests[0] is None
    assert rests[-1] == pytest.approx(100.0)
    assert tell(120.0) is None


def test_a_probe_is_at_rest_only_when_its_last_seconds_agree():
    from drivers.readings import Quantity, Reading

    time = Time()
    watch = BenchMonitor([THERMOMETER], None, time)

    def tell(temp_c):
        time.now += 1.0
        for channel in THERMOMETER.channels:
            watch._sink(Reading("thermometer", channel, Quantity.TEMPERATURE, temp_c, time.now))
        return watch.seen()[0].rest

    assert [tell(20.0 - 2.0 * n) for n in range(8)][-1] is None
    assert [tell(0.1) for _ in range(8)][-1] == pytest.approx(0.1)
