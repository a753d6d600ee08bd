"""The drivers and the simulated bench in step: every byte sent is read and spoken before the world moves on."""

from collections.abc import Iterator

import pytest

from drivers.devices import open_bench
from drivers.readings import DeviceMessage, Fault, FaultKind, Reading
from drivers.simulated import DEFAULT_DEVICES, PH_METER, SimulatedBench
from drivers.simulated.materials import water


class InStep:
    """A bench, its drivers, and all they have spoken."""

    def __init__(self, bench: SimulatedBench) -> None:
        self.bench = bench
        self.heard: list[DeviceMessage] = []
        self.devices = open_bench(bench.bench, lambda: bench.now_s, self.heard.append)
        for device in self.devices:
            device.start()
            assert device.port.wait_open(5.0)
        while not all(bench.opened(device.name) for device in self.devices):
            bench.advance(0.0)

    def advance(self, dt_s: float) -> None:
        for device in self.devices:
            device.tend(self.bench.now_s)
        self.bench.advance(dt_s)
        for device in self.devices:
            assert device.wait_received(self.bench.sent_bytes(device.name), 5.0)

    def rest(self) -> None:
        self.advance(0.1)
        while self.bench.busy:
            self.advance(0.1)

    def last(self, device: str, channel: str) -> DeviceMessage:
        return next(s for s in reversed(self.heard) if s.device == device and s.channel == channel)

    def close(self) -> None:
        for device in self.devices:
            device.stop()


@pytest.fixture
def in_step() -> Iterator[InStep]:
    with SimulatedBench(seed=5, devices=(*DEFAULT_DEVICES, PH_METER)) as bench:
        bench.world.add_vessel("pot", 250.0, 800.0)
        together = InStep(bench)
        yield together
        together.close()


def test_a_weighing_and_a_temperature_as_readings(in_step: InStep) -> None:
    world = in_step.bench.world
    world.put_on("bench scale", "pot")
    in_step.rest()
    world.press_tare("bench scale")
    in_step.rest()
    world.pour_to(water(), "pot", 120.0, temp_c=60.0)
    world.probe_into("probe 2", "pot")
    in_step.rest()
    for _ in range(20):
        in_step.advance(1.0)
    mass = in_step.last("bench scale", "mass")
    assert isinstance(mass, Reading)
    assert mass.stable
    assert mass.net
    assert mass.value == pytest.approx(world.vessel("pot").net_g, abs=0.15)
    temp = in_step.last("thermometer", "probe 2")
    assert isinstance(temp, Reading)
    assert temp.value == pytest.approx(world.vessel("pot").temp_c, abs=0.3)
    ph = in_step.last("ph meter", "ph")
    assert isinstance(ph, Reading)
    assert not any(isinstance(s, Fault) for s in in_step.heard)


def test_every_fault_is_spoken_as_what_it_is(in_step: InStep) -> None:
    faults = in_step.bench.faults
    in_step.advance(2.0)
    faults.garbage("bench scale", 1)
    faults.open_probe("probe 1")
    faults.wrong_unit("ph meter")
    in_step.advance(1.0)
    kinds = {(s.device, s.channel): s.kind for s in in_step.heard if isinstance(s, Fault)}
    assert kinds["bench scale", None] is FaultKind.UNREADABLE
    assert kinds["thermometer", "probe 1"] is FaultKind.OPEN_PROBE
    assert kinds["ph meter", "ph"] is FaultKind.WRONG_UNIT


def test_a_unit_key_is_a_fault_until_it_is_back(in_step: InStep) -> None:
    world, faults = in_step.bench.world, in_step.bench.faults
    world.put_on("bench scale", "pot")
    in_step.rest()
    in_step.heard.clear()
    faults.wrong_unit("bench scale", unit="oz")
    in_step.advance(3.0)
    said = [s for s in in_step.heard if s.device == "bench scale"]
    assert {s.kind for s in said if isinstance(s, Fault)} == {FaultKind.DISAGREES}
    assert not any(isinstance(s, Reading) for s in said)
    faults.wrong_unit("bench scale", False)
    in_step.advance(3.0)
    back = in_step.last("bench scale", "mass")
    assert isinstance(back, Reading)
    assert back.value == pytest.approx(250.0 + world.vessel("pot").net_g, abs=0.15)
