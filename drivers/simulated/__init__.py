"""A simulated bench with physics, served as real serial ports."""

from drivers.simulated.bench import (
    BENCH_SCALE,
    DEFAULT_DEVICES,
    FINE_SCALE,
    PH_METER,
    THERMOMETER,
    SimulatedBench,
)
from drivers.simulated.errors import ImpossibleAct, SimulationError, UnknownName
from drivers.simulated.stuff import Acid, Kind, Stuff, stuff_for

__all__ = [
    "BENCH_SCALE",
    "DEFAULT_DEVICES",
    "FINE_SCALE",
    "PH_METER",
    "THERMOMETER",
    "Acid",
    "ImpossibleAct",
    "Kind",
    "SimulatedBench",
    "SimulationError",
    "Stuff",
    "UnknownName",
    "stuff_for",
]
