"""What a device is held against: reference weights, ice, boiling water, buffers; and the check that comes of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from benchapp.calculations.evaporation import boiling_at_altitude_c, boiling_c
from benchapp.calculations.ph_buffers import BUFFERS, ON_THE_BOTTLE, TEMPS_C, buffer_ph
from benchapp.foundation.language import number, tr, tr_noop
from benchapp.make.view_model import NumberRequest
from benchapp.runtime.device_checks import BUFFER_PH, PROBE_K, Check, weight_allowed_g
from benchapp.service.bench_facts import UNIT
from benchapp.service.errors import CommandError

if TYPE_CHECKING:
    from drivers.settings import DeviceSettings

#: What to do before the reading is taken, by the device's kind.
HOW = {
    "scale": tr_noop("Which weight have you got?"),
    "thermometer": tr_noop("Choose, then hold the probe in it and stir."),
    "ph meter": tr_noop(
        "Which buffer have you got? Rinse the probe, then dip it into fresh buffer. The buffer bottle's own table goes first."
    ),
}
#: What can hurt while it is held there, with the reference of its ISO 7010 sign.
CAUTIONS = {"thermometer": ("W017", tr_noop("Boiling water and steam burn."))}
#: What is said where a device did not pass.
NOT_PASSED = tr_noop(
    "Do not trust it before it is adjusted and checked again. Makes will say that it is not checked."
)
#: Reference weights offered, in grams; those above a scale's capacity are not.
WEIGHTS_G = (20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
#: What no scale says of itself.
CAPACITY = NumberRequest(
    tr_noop("How much does it weigh at most? It stands on its plate."), "g", 1, 100_000, 0, True
)
#: Air pressures that can be meant, in hPa: below and above what weather and workshops come to.
PRESSURES_HPA = (600.0, 1085.0)


@dataclass(frozen=True, slots=True)
class ReferenceValue:
    """A known value: what it is, how much, how far off the device may be, and how many digits it is typed with."""

    against: str
    expected: float
    allowed: float
    decimals: int


def probe_called(device: DeviceSettings, channel: str) -> str:
    """The device, with its probe where it has several."""
    return f"{device.name}, {channel}" if len(device.channels) > 1 else device.name


def scale_range(device: DeviceSettings) -> tuple[float, float]:
    """A scale's smallest step and the most it carries, in grams; the usual ones where the bench file says none."""
    return device.readability_g or 0.1, device.capacity_g or 3000.0


@dataclass(frozen=True, slots=True)
class CheckSubject:
    """What is checked, by whom, and the wall clock (ISO 8601)."""

    device: DeviceSettings
    channel: str
    maker: str
    now: Callable[[], str]

    @property
    def name(self) -> str:
        """The device, with its probe where it has several."""
        return probe_called(self.device, self.channel)

    @property
    def unit(self) -> str:
        """What it is measured in."""
        return UNIT[self.device.kind]

    def check(self, reference: ReferenceValue, found: float, source: str) -> Check:
        """What came of it."""
        channel = self.channel if len(self.device.channels) > 1 else ""
        return Check(
            self.device.name, reference.against, round(reference.expected, 3), found, reference.allowed,
            self.unit, self.now(), self.maker, source, channel,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class ReferenceChoice:
    """One thing to hold a device against. ``ask`` is what has to be known first, where there is such a thing; ``hint`` when
    to take this one, "" where nothing is to be said of it."""

    label: str
    value: Callable[[float], ReferenceValue]  # of what was typed; of anything, where nothing is asked
    ask: NumberRequest | None = None
    hint: str = ""


def reference_choices(device: DeviceSettings) -> list[ReferenceChoice]:
    """What a device of its kind can be held against."""
    if device.kind == "scale":
        step, capacity = scale_range(device)
        weights = [_weight(g, step, capacity) for g in WEIGHTS_G if g <= capacity]
        return [ReferenceChoice(f"{number(w.expected)} g", partial(_fixed, w)) for w in weights]
    if device.kind == "thermometer":
        height = NumberRequest(tr("how high above the sea is the bench?"), "m", 0.0, 4000.0, 0, True)
        air = NumberRequest(
            tr("air pressure at the bench, not reduced to sea level"), "hPa", *PRESSURES_HPA, 0, True
        )
        ice = ReferenceValue(tr("ice in water"), 0.0, PROBE_K, 1)
        return [
            # Which one to take when: common practice, no source.
            ReferenceChoice(
                tr("Ice in water"),
                partial(_fixed, ice),
                hint=tr("The easiest: a glass full of ice, filled up with water, stirred."),
            ),
            ReferenceChoice(
                tr("Boiling water, by height above the sea"),
                boiling_at_height,
                height,
                tr("For a probe that is used hot, where the height is known."),
            ),
            ReferenceChoice(
                tr("Boiling water, by air pressure"),
                boiling_at_pressure,
                air,
                tr("The same, more exact, where a barometer stands."),
            ),
        ]
    bath = NumberRequest(tr("temperature of the buffer"), "°C", TEMPS_C[0], TEMPS_C[-1], 1, True)
    return [
        ReferenceChoice(tr("Buffer {name}", name=ON_THE_BOTTLE.get(x, x)), in_buffer(x), bath)
        for x in BUFFERS
    ]


def _weight(grams: float, step_g: float, capacity_g: float) -> ReferenceValue:
    allowed = weight_allowed_g(grams, step_g, capacity_g)
    return ReferenceValue(tr("weight {grams:g} g", grams=grams), grams, allowed, 2 if step_g < 0.1 else 1)


def _fixed(value: ReferenceValue, _: float) -> ReferenceValue:
    return value


def boiling_at_height(altitude_m: float) -> ReferenceValue:
    """Boiling water at an altitude in m (standard atmosphere)."""
    return ReferenceValue(
        tr("boiling at {altitude_m:g} m", altitude_m=altitude_m),
        boiling_at_altitude_c(altitude_m),
        PROBE_K,
        1,
    )


def boiling_at_pressure(pressure_hpa: float) -> ReferenceValue:
    """Boiling water under an air pressure in hPa."""
    return ReferenceValue(
        tr("boiling at {pressure_hpa:g} hPa", pressure_hpa=pressure_hpa),
        boiling_c(100.0 * pressure_hpa),
        PROBE_K,
        1,
    )


def in_buffer(name: str) -> Callable[[float], ReferenceValue]:
    """A buffer at its temperature in °C."""
    return lambda temp_c: ReferenceValue(
        tr("buffer {name} at {temp_c:g} °C", name=ON_THE_BOTTLE.get(name, name), temp_c=round(temp_c, 1)),
        buffer_ph(name, temp_c),
        BUFFER_PH,
        2,
    )


def reference_named(device: DeviceSettings, against: str, known: float | None) -> ReferenceValue:
    """The reference a person writes: the beginning or the words of one that is offered, or for a scale any mass ("123.4 g").
    ``known`` is what has to be known with it (a height, an air pressure, a temperature). Raises CommandError."""
    offered = reference_choices(device)
    wanted = against.strip().casefold()
    found = (
        [c for c in offered if c.label.casefold() == wanted]
        or [c for c in offered if wanted and c.label.casefold().startswith(wanted)]
        or [c for c in offered if wanted and all(word in c.label.casefold() for word in wanted.split())]
    )
    if len(found) == 1:
        return _with_known(found[0], known)
    if device.kind == "scale":
        return _own_weight(device, against)
    names = ", ".join(f'"{c.label}"' for c in found or offered)
    raise CommandError(
        tr(
            "{against!r} names no one thing a {kind} is held against here. Say one of: {names}.",
            against=against,
            kind=device.kind,
            names=names,
        )
    )


def _with_known(choice: ReferenceChoice, known: float | None) -> ReferenceValue:
    ask = choice.ask
    if ask is None:
        return choice.value(0.0)
    if known is None or not ask.low <= known <= ask.high:
        raise CommandError(
            tr(
                "{label}: {what}? Say it with --known, {low:g} to {high:g} {unit}.",
                label=choice.label,
                what=ask.what,
                low=ask.low,
                high=ask.high,
                unit=ask.unit,
            )
        )
    return choice.value(known)


def _own_weight(device: DeviceSettings, against: str) -> ReferenceValue:
    from procedures.errors import QuantityError
    from procedures.quantities import MASS, quantity

    step, capacity = scale_range(device)
    try:
        grams = quantity(against, MASS)
    except QuantityError as error:
        raise CommandError(
            tr(
                "{against!r} is no known mass: {error}. Write 200 g, or what your weight has on it.",
                against=against,
                error=error,
            )
        ) from error
    if not 0 < grams <= capacity:
        raise CommandError(
            tr(
                "{grams:g} g does not go onto a scale that ends at {capacity:g} g.",
                grams=grams,
                capacity=capacity,
            )
        )
    return _weight(grams, step, capacity)
