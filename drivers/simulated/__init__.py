"""A simulated bench with physics, served as real serial ports."""

from drivers.simulated.bench import SimulatedBench
from drivers.simulated.default_devices import (
    BENCH_SCALE,
    DEFAULT_DEVICES,
    DEFAULT_SCALES,
    FINE_SCALE,
    PH_METER,
    THERMOMETER,
)
from drivers.simulated.errors import ImpossibleAct, SimulationError, UnknownName
from drivers.simulated.materials import Acid, MaterialKind, SimulatedMaterial, material_for

__all__ = [
    "BENCH_SCALE",
    "DEFAULT_DEVICES",
    "DEFAULT_SCALES",
    "FINE_SCALE",
    "PH_METER",
    "THERMOMETER",
    "Acid",
    "ImpossibleAct",
    "MaterialKind",
    "SimulatedBench",
    "SimulatedMaterial",
    "SimulationError",
    "UnknownName",
    "material_for",
]
