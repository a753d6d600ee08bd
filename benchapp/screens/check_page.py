"""The bench check: a device against a known value, typed on the keypad, judged, and kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from benchapp.bench_check import BUFFER_PH, PROBE_K, Check, weight_allowed_g
from benchapp.calculations.evaporation import boiling_at_altitude_c
from benchapp.calculations.ph_buffers import BUFFERS, buffer_ph
from benchapp.make.moment import Ask
from benchapp.screens import design as d
from benchapp.screens.bench import Workshop
from benchapp.screens.home import Labelled, Page
from benchapp.screens.panel import Panel, Sizes
from drivers.settings import DeviceSettings

#: Reference weights offered, in grams; those above a scale's capacity are not.
WEIGHTS_G = (20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
#: Temperature of the buffer where nobody says another, in degrees Celsius: a room's.
ROOM_C = 20.0


class CheckWays(Protocol):
    """Where one can go from here."""

    def home(self) -> None: ...
    def check(self) -> None: ...
    def check_device(self, name: str) -> None: ...
    def ask(self, ask: Ask, done: Callable[[float], None], back: Callable[[], None]) -> None: ...
    def judge(self, check: Check) -> None: ...


def check_page(panel: Panel, sizes: Sizes, shop: Workshop, ways: CheckWays) -> Page:
    """Every device, and when it last passed."""
    page = Page(panel, sizes, "Check the bench")
    page.bottom([("Back", ways.home, "plain")])
    passed = shop.checked()
    labels: list[Labelled] = [
        (f"{s.name}: {_when(passed.get(s.name, ''))}", _go(ways, s.name), "plain") for s in shop.devices()
    ]
    page.grid(labels, 1 if panel.portrait else 2, page.left, page.low, page.wide, page.pen_y)
    return page


def _when(passed: str) -> str:
    return f"passed {passed[:10]}" if passed else "not checked"


def _go(ways: CheckWays, name: str) -> Callable[[], None]:
    return lambda: ways.check_device(name)


def device_page(
    panel: Panel,
    sizes: Sizes,
    shop: Workshop,
    ways: CheckWays,
    device: DeviceSettings,
    now: Callable[[], str],
) -> Page:
    """What to hold this device against."""
    page = Page(panel, sizes, f"Check the {device.name}")
    page.bottom([("Back", ways.check, "plain")])
    page.line(HOW[device.kind], sizes.note)

    def found(against: str, expected: float, allowed: float, unit: str, decimals: int) -> Callable[[], None]:
        def typed(value: float) -> None:
            ways.judge(
                Check(device.name, against, round(expected, 3), value, allowed, unit, now(), shop.maker)
            )

        question = Ask(f"{against}: what does the {device.name} show?", unit, 0.0, 100_000.0, decimals, True)
        return lambda: ways.ask(question, typed, ways.check)

    labels: list[Labelled] = []
    if device.kind == "scale":
        step, capacity = device.readability_g or 0.1, device.capacity_g or 3000.0
        decimals = 2 if step < 0.1 else 1
        labels = [
            (
                f"{g:g} g",
                found(f"weight {g:g} g", g, weight_allowed_g(g, step, capacity), "g", decimals),
                "plain",
            )
            for g in WEIGHTS_G
            if g <= capacity
        ]
    elif device.kind == "thermometer":

        def boiling(altitude_m: float) -> None:
            found(f"boiling at {altitude_m:g} m", boiling_at_altitude_c(altitude_m), PROBE_K, "°C", 1)()

        height = Ask("how high above the sea is the bench?", "m", 0.0, 4000.0, 0, True)
        labels = [
            ("Ice in water", found("ice in water", 0.0, PROBE_K, "°C", 1), "plain"),
            ("Boiling water", lambda: ways.ask(height, boiling, ways.check), "plain"),
        ]
    else:
        labels = [
            (f"{name}: pH {buffer_ph(name, ROOM_C):.2f}",
             found(f"buffer {name} at {ROOM_C:g} °C", buffer_ph(name, ROOM_C), BUFFER_PH, "pH", 2), "plain")
            for name in BUFFERS
        ]  # fmt: skip
    page.grid(labels, 2 if panel.portrait else 3, page.left, page.low, page.wide, page.pen_y)
    return page


HOW = {
    "scale": "Put the reference weight on the empty pan, wait until it is still, and press what it weighs.",
    "thermometer": "Hold every probe in crushed ice and water, or in boiling water, and stir. Steam burns.",
    "ph meter": "Rinse the probe, dip it into fresh buffer at about 20 °C, and press the buffer's name.",
}


def verdict_page(panel: Panel, sizes: Sizes, ways: CheckWays, check: Check) -> Page:
    """What was found."""
    off = check.found - check.expected
    page = Page(panel, sizes, "Passed" if check.passed else "Not passed")
    page.bottom([("Check another", ways.check, "plain"), ("To the bench", ways.home, "main")])
    page.line(
        f"{check.device}, {check.against}: {check.found:g} {check.unit}, off by {off:+.3g}, "
        f"allowed {check.allowed:g}.",
        sizes.note,
        bold=True,
        color=d.KELP if check.passed else d.CORAL,
    )
    if not check.passed:
        page.line(
            "Do not trust it before it is adjusted and checked again. Makes will say that it is not checked.",
            sizes.note,
        )
    return page
