"""The bench check: one channel of one device against a known value, read live when at rest or typed, judged, kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchapp.calculations.evaporation import boiling_at_altitude_c, boiling_c
from benchapp.calculations.ph_buffers import BUFFERS, TEMPS_C, buffer_ph
from benchapp.make.moment import Ask
from benchapp.runtime.device_checks import BUFFER_PH, PROBE_K, Check, weight_allowed_g
from benchapp.screens import design as d
from benchapp.screens.device_rows import UNIT
from benchapp.screens.home import Labelled, Page
from benchapp.screens.parts import Press, Standing, Words

if TYPE_CHECKING:
    from benchapp.runtime.bench_monitor import ChannelStatus
    from benchapp.screens.panel import Panel, Sizes
    from benchapp.screens.ways import Ways
    from drivers.settings import DeviceSettings

#: Reference weights offered, in grams; those above a scale's capacity are not.
WEIGHTS_G = (20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
#: Air pressures that can be meant, in hPa: below and above what weather and workshops come to.
PRESSURES_HPA = (600.0, 1085.0)


@dataclass(frozen=True, slots=True)
class Subject:
    """What is checked, by whom, and the wall clock (ISO 8601)."""

    device: DeviceSettings
    channel: str
    maker: str
    now: Callable[[], str]

    @property
    def name(self) -> str:
        """The device, with its probe where it has several."""
        several = len(self.device.channels) > 1
        return f"{self.device.name}, {self.channel}" if several else self.device.name

    def check(self, known: Known, found: float, source: str) -> Check:
        """What came of it."""
        channel = self.channel if len(self.device.channels) > 1 else ""
        return Check(
            self.device.name, known.against, round(known.expected, 3), found, known.allowed,
            UNIT[self.device.kind], self.now(), self.maker, source, channel,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Known:
    """A known value: what it is, how much, how far off the device may be, and how many digits it is typed with."""

    against: str
    expected: float
    allowed: float
    decimals: int


def check_page(
    panel: Panel,
    sizes: Sizes,
    devices: Sequence[DeviceSettings],
    checks: Mapping[tuple[str, str], Check],
    ways: Ways,
) -> Page:
    """Every channel of every device, and how its newest check came out."""
    page = Page(panel, sizes, "Check the bench")
    page.bottom([("Back", ways.home, "plain")])
    labels: list[Labelled] = []
    for device in devices:
        for channel in device.channels:
            last = checks.get((device.name, channel)) or checks.get((device.name, ""))
            name = f"{device.name}, {channel}" if len(device.channels) > 1 else device.name
            labels.append((f"{name}: {_when(last)}", _go(ways, device, channel), "plain"))
    columns = 1 if panel.portrait else 2 if len(labels) <= 2 * page.rows_that_fit() else 3
    page.grid(labels, columns, page.left, page.low, page.wide, page.pen_y)
    return page


def _when(last: Check | None) -> str:
    if last is None:
        return "not checked"
    return f"{'passed' if last.passed else 'NOT passed'} {last.at[:10]}"


def _go(ways: Ways, device: DeviceSettings, channel: str) -> Callable[[], None]:
    return lambda: ways.check_device(device, channel)


def device_page(panel: Panel, sizes: Sizes, ways: Ways, subject: Subject) -> Page:
    """What to hold this channel against."""
    page = Page(panel, sizes, f"Check the {subject.name}")
    page.bottom([("Back", ways.check, "plain")])
    page.line(HOW[subject.device.kind], sizes.note)
    labels = _labels(panel, sizes, ways, subject)
    page.grid(labels, 2 if panel.portrait else 3, page.left, page.low, page.wide, page.pen_y)
    return page


def _labels(panel: Panel, sizes: Sizes, ways: Ways, subject: Subject) -> list[Labelled]:
    device = subject.device

    def hold(known: Known) -> None:
        ways.check_against(AgainstPage(panel, sizes, ways, subject, known))

    def against(known: Known) -> Callable[[], None]:
        return lambda: hold(known)

    def asked(ask: Ask, known: Callable[[float], Known]) -> Callable[[], None]:
        return lambda: ways.ask(ask, lambda value: hold(known(value)), ways.check)

    if device.kind == "scale":
        step, capacity = device.readability_g or 0.1, device.capacity_g or 3000.0
        return [
            (f"{g:g} g", against(Known(f"weight {g:g} g", g, weight_allowed_g(g, step, capacity), 2 if step < 0.1 else 1)),
             "plain")
            for g in WEIGHTS_G if g <= capacity
        ]  # fmt: skip
    if device.kind == "thermometer":
        height = Ask("how high above the sea is the bench?", "m", 0.0, 4000.0, 0, True)
        air = Ask("air pressure at the bench, not reduced to sea level", "hPa", *PRESSURES_HPA, 0, True)
        return [
            ("Ice in water", against(Known("ice in water", 0.0, PROBE_K, 1)), "plain"),
            ("Boiling water, by height", asked(height, boiling_at_height), "plain"),
            ("Boiling water, by air pressure", asked(air, boiling_at_pressure), "plain"),
        ]
    bath = Ask("temperature of the buffer", "°C", TEMPS_C[0], TEMPS_C[-1], 1, True)
    return [(f"Buffer {name}", asked(bath, in_buffer(name)), "plain") for name in BUFFERS]


def boiling_at_height(altitude_m: float) -> Known:
    """Boiling water at an altitude in m (standard atmosphere)."""
    return Known(f"boiling at {altitude_m:g} m", boiling_at_altitude_c(altitude_m), PROBE_K, 1)


def boiling_at_pressure(pressure_hpa: float) -> Known:
    """Boiling water under an air pressure in hPa."""
    return Known(f"boiling at {pressure_hpa:g} hPa", boiling_c(100.0 * pressure_hpa), PROBE_K, 1)


def in_buffer(name: str) -> Callable[[float], Known]:
    """A buffer at its temperature in °C."""
    return lambda temp_c: Known(
        f"buffer {name} at {round(temp_c, 1):g} °C", buffer_ph(name, temp_c), BUFFER_PH, 2
    )


HOW = {
    "scale": "Put the reference weight on the empty pan. What does it weigh?",
    "thermometer": "Hold this probe in crushed ice and water, or in boiling water, and stir. Steam burns.",
    "ph meter": "Rinse the probe and dip it into fresh buffer. Which one? The buffer bottle's own table goes first.",
}


class AgainstPage(Page):
    """The device as it reads now beside what it should read; taken when it is at rest, or typed."""

    def __init__(self, panel: Panel, sizes: Sizes, ways: Ways, subject: Subject, known: Known) -> None:
        unit = UNIT[subject.device.kind]
        super().__init__(panel, sizes, f"{subject.name}: {known.against}")
        self._ways, self._subject, self._known = ways, subject, known
        self._rest: float | None = None
        should = sizes.figures.live(known.expected, unit, max(known.decimals, 2 if unit == "pH" else 1))
        self.line(f"It should read {' '.join(should)}, give or take {known.allowed:g}.", sizes.note)
        self.number = Words("–", sizes.reading, d.INK, bold=True)
        self.standing = Standing(sizes.note)
        self.told = Words("", sizes.small, d.CORAL)
        for part in (self.number, self.standing, self.told):
            self.add_widget(part)
        self.bottom(
            [("Back", ways.check, "plain"), ("Type it", self._type, "plain"), (TAKE, self._take, "main")]
        )
        self.take = next(w for w in self.children if isinstance(w, Press) and w.label == TAKE)
        self._shown: tuple[object, ...] = ()
        self._top = self.pen_y

    def live(self, seen: Sequence[ChannelStatus]) -> None:
        """The newest reading."""
        key = (self._subject.device.name, self._subject.channel)
        one = next((s for s in seen if (s.device.name, s.channel) == key), None)
        reading = one.reading if one is not None and one.fresh and not one.trouble else None
        self._rest = one.rest if one is not None and reading is not None else None
        unit = UNIT[self._subject.device.kind]
        decimals = self._known.decimals
        text = " ".join(self.sizes.figures.live(reading.value, unit, decimals)) if reading else "–"
        word = "no reading" if reading is None else "at rest" if self._rest is not None else "moving"
        trouble = one.trouble if one is not None else ""
        if (text, word, trouble) == self._shown:
            return
        self._shown = (text, word, trouble)
        s = self.sizes
        self.number.text = text
        _, high = self.number.natural()
        self.number.pos = (self.left, self._top - high)
        self.standing.show(word, self.left, self.number.y - s.note * 1.5)
        self.told.text = trouble  # beside the dash that then stands for the number
        x = self.number.right + 2 * s.gap
        self.told.place(x, self._top, max(self.left + self.wide - x, 1))
        self.take.say(TAKE if self._rest is not None else WAIT)

    def _take(self) -> None:
        if self._rest is not None:
            self._ways.judge(self._subject.check(self._known, self._rest, "measured"))

    def _type(self) -> None:
        unit = UNIT[self._subject.device.kind]
        what = f"{self._known.against}: what does the {self._subject.name} show?"
        ask = Ask(what, unit, 0.0, 100_000.0, self._known.decimals, True)
        self._ways.ask(ask, self._typed, self._ways.check)

    def _typed(self, value: float) -> None:
        self._ways.judge(self._subject.check(self._known, value, "stated"))


TAKE, WAIT = "Take this reading", "Wait until it is at rest"


def verdict_page(panel: Panel, sizes: Sizes, ways: Ways, check: Check, electrode: str = "") -> Page:
    """What was found."""
    off = check.found - check.expected
    page = Page(panel, sizes, "Passed" if check.passed else "Not passed")
    page.bottom([("Check another", ways.check, "plain"), ("To the bench", ways.home, "main")])
    name = f"{check.device}, {check.channel}" if check.channel else check.device
    page.line(
        f"{name}, {check.against}: {check.found:g} {check.unit} ({check.source}), off by {off:+.3g}, "
        f"allowed {check.allowed:g}.",
        sizes.note,
        bold=True,
        color=d.KELP if check.passed else d.CORAL,
    )
    if electrode:
        page.line(electrode, sizes.note)
    if not check.passed:
        page.line(
            "Do not trust it before it is adjusted and checked again. Makes will say that it is not checked.",
            sizes.note,
        )
    return page
