"""The devices of a simulated bench where nobody names others."""

from __future__ import annotations

from drivers.settings import DeviceSettings

#: Its scales by name: capacity and readability in grams. The first also stands for a scale that says neither of itself.
DEFAULT_SCALES = {"bench scale": (3000.0, 0.1), "fine scale": (200.0, 0.01)}


def _scale(name: str) -> DeviceSettings:
    capacity_g, readability_g = DEFAULT_SCALES[name]
    return DeviceSettings(
        name,
        "scale",
        "",
        "status-headed",
        ("mass",),
        period_s=1.0,
        capacity_g=capacity_g,
        readability_g=readability_g,
    )


BENCH_SCALE, FINE_SCALE = map(_scale, DEFAULT_SCALES)
THERMOMETER = DeviceSettings(
    "thermometer", "thermometer", "", "multi-channel", ("probe 1", "probe 2"), period_s=1.0
)
PH_METER = DeviceSettings("ph meter", "ph meter", "", "ph-line", ("ph",), period_s=1.0)

DEFAULT_DEVICES = (BENCH_SCALE, FINE_SCALE, THERMOMETER)


def weighing_facts(scale: DeviceSettings) -> tuple[float, float]:
    """Capacity and readability in grams, those of the bench scale where the scale says neither."""
    capacity_g, readability_g = DEFAULT_SCALES[BENCH_SCALE.name]
    return scale.capacity_g or capacity_g, scale.readability_g or readability_g
