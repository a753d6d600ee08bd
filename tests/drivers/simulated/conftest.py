"""A bench with its vessels, and the one way these tests let time pass."""

from collections.abc import Callable, Iterator

import pytest
import serial

from drivers.simulated import DEFAULT_DEVICES, PH_METER, SimulatedBench


@pytest.fixture
def bench() -> Iterator[SimulatedBench]:
    with SimulatedBench(seed=3, devices=(*DEFAULT_DEVICES, PH_METER)) as it:
        it.world.add_vessel("pot", 250.0, 800.0)
        it.world.add_vessel("oil pot", 180.0, 400.0, wall="steel")
        it.world.add_vessel("boat", 5.0, 60.0, wall="plastic")
        yield it


@pytest.fixture
def rest(bench: SimulatedBench) -> Callable[[], None]:
    """Let time pass until the bench is at rest; fails if it never is."""

    def until_rest() -> None:
        for _ in range(6000):
            bench.advance(0.1 if bench.busy else 1.0)
            if not bench.busy:
                return
        pytest.fail("the bench never came to rest")

    return until_rest


@pytest.fixture
def plug_in(bench: SimulatedBench) -> Iterator[Callable[[str], serial.SerialBase]]:
    """Open a device as a driver would, and wait until the bench has noticed."""
    opened = []

    def opener(name: str) -> serial.SerialBase:
        device = next(d for d in bench.bench.devices if d.name == name)
        opened.append(serial.serial_for_url(device.port, baudrate=device.baud, timeout=2.0, exclusive=True))
        bench.advance(0.0)
        assert bench.opened(name)
        return opened[-1]

    yield opener
    for port in opened:
        port.close()
