"""From what was heard at a port to a section of the bench file, and what only the maker can say of it. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.foundation.language import tr
from drivers.bench_file import CHANNEL
from drivers.errors import BadDevice
from drivers.format_fit import Fit
from drivers.formats.channel_reading import QUANTITY
from drivers.hearing import PortReport
from drivers.settings import USUAL_BAUD, DeviceKind, DeviceSettings
from drivers.units import HOUSE_UNIT, SPELLINGS, conversion


def undecided(fits: Sequence[Fit], kind: DeviceKind | None, unit: str | None) -> str:
    """What the lines leave open and only the device's display tells, in one sentence; "" where they say it all.

    ``kind`` and ``unit`` are what the maker has said of the device so far, None where nothing.
    """
    kinds = sorted({fit.kind for fit in fits})
    if kind is None and len(kinds) > 1:
        return tr(
            "Its lines do not say what it is: {names}. Say which with --kind.", names=" or ".join(kinds)
        )
    chosen = chosen_fit(fits, kind)
    if chosen is not None and not chosen.names_unit and unit is None:
        return tr("Its lines name no unit. Say with --unit which one its display shows.")
    return ""


def chosen_fit(fits: Sequence[Fit], kind: DeviceKind | None) -> Fit | None:
    """The best fit of a kind; None where there is none."""
    return next((fit for fit in fits if kind is None or fit.kind == kind), None)


def proposed_section(
    heard: PortReport, name: str, kind: DeviceKind | None = None, unit: str | None = None
) -> DeviceSettings:
    """The bench file's section for what was heard: the best fit, of ``kind`` where the maker says it.

    ``unit`` is what lines without one are in. The capacity is not known from listening; the period is the longest
    pause heard, the readability the finest step. Raises BadDevice when nothing fits.
    """
    fit = chosen_fit(heard.fits, kind)
    if fit is None:
        raise BadDevice(
            tr(
                "{port}: no {kind} was heard. {trouble}",
                port=heard.port,
                kind=kind or tr("device"),
                trouble=heard.trouble,
            ).rstrip()
        )
    options = _options(heard, fit, unit)
    period_s = 0.5 if heard.asked else max(0.1, round(heard.period_s or 1.0, 1))
    return DeviceSettings(
        name=name,
        kind=fit.kind,
        port=heard.port,
        format=fit.format,
        channels=_channels(fit),
        baud=heard.baud or USUAL_BAUD,
        bits=heard.bits,
        parity=heard.parity,
        period_s=period_s,
        readability_g=_readability_g(fit, options.get("unit")),
        readability_unit=fit.unit if fit.kind == "scale" and fit.unit else "g",
        usb=heard.usb,
        options=options,
    )


def _channels(fit: Fit) -> tuple[str, ...]:
    if fit.kind != "thermometer":
        return (CHANNEL[fit.kind],)
    return tuple(tr("probe {number}", number=number) for number in range(1, fit.channels + 1))


def _options(heard: PortReport, fit: Fit, unit: str | None) -> dict[str, str]:
    options = dict(heard.options) | ({"request": heard.asked} if heard.own_request else {})
    if (
        unit is not None
        and not fit.names_unit
        and SPELLINGS.get(unit, unit) != HOUSE_UNIT[QUANTITY[fit.kind]]
    ):
        options["unit"] = unit
    return options


def _readability_g(fit: Fit, unit: str | None) -> float | None:
    """The finest step heard, in grams. A fit whose lines name no unit was read as grams; ``unit`` is the true one."""
    if fit.kind != "scale" or fit.resolution is None:
        return None
    return fit.resolution * (1.0 if unit is None else conversion(SPELLINGS.get(unit, unit)).factor)
