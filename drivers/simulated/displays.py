"""How the simulated devices write what they show, by the key of their line format."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Display:
    """What a scale's display says: ``value`` in ``unit`` with ``places`` decimals, None when overloaded."""

    value: float | None
    unit: str
    places: int
    stable: bool
    net: bool

    @property
    def text(self) -> str:
        """The number with its decimals; never a negative zero."""
        text = f"{self.value or 0.0:.{self.places}f}"
        return text.removeprefix("-") if float(text) == 0.0 else text


def _status_headed(shown: Display) -> str:
    kind = "NT" if shown.net else "GS"
    if shown.value is None:
        return f"OL,{kind},+9999999,{shown.unit}"
    sign = "-" if shown.text.startswith("-") else "+"
    digits = shown.text.removeprefix("-").rjust(7, "0")
    return f"{'ST' if shown.stable else 'US'},{kind},{sign}{digits},{shown.unit}"


def _number_unit(shown: Display) -> str:
    return "OL" if shown.value is None else f"{shown.text} {shown.unit}"


def _bare_number(shown: Display) -> str:
    return "OL" if shown.value is None else f"{shown.text:>9}"


def _labelled(shown: Display) -> str:
    label = "N" if shown.net else "G"
    return f"{label} OL" if shown.value is None else f"{label} {shown.text} {shown.unit}"


def _fixed_column(shown: Display) -> str:
    if shown.value is None:
        return "OL"
    sign = "-" if shown.text.startswith("-") else "+"
    unit = shown.unit if shown.stable else ""
    return f"{sign}{shown.text.removeprefix('-'):>9} {unit:<3}"


def _prompted_reply(shown: Display) -> str:
    if shown.value is None:
        return "S +"
    return f"S {'S' if shown.stable else 'D'} {shown.text:>10} {shown.unit}"


SCALE_LINES: dict[str, Callable[[Display], str]] = {
    "status-headed": _status_headed,
    "number-unit": _number_unit,
    "bare-number": _bare_number,
    "labelled": _labelled,
    "fixed-column": _fixed_column,
    "prompted-reply": _prompted_reply,
}


def _multi_channel(temps: Sequence[float | None], unit: str) -> str:
    return ",".join(
        f"T{number}=-----{unit}" if temp is None else f"T{number}={temp:+06.1f}{unit}"
        for number, temp in enumerate(temps, start=1)
    )


def _one_temperature(temps: Sequence[float | None], unit: str) -> str:
    return "OPEN" if temps[0] is None else f"{temps[0]:.1f} {unit}"


def _labelled_temperature(temps: Sequence[float | None], unit: str) -> str:
    return f"T {_one_temperature(temps, unit)}"


#: The second and third shape have room for one probe only.
THERMOMETER_LINES: dict[str, Callable[[Sequence[float | None], str], str]] = {
    "multi-channel": _multi_channel,
    "number-unit": _one_temperature,
    "labelled-temperature": _labelled_temperature,
}

PH_LINES: dict[str, Callable[[float], str]] = {
    "ph-line": lambda ph: f"pH {ph:.2f}",
    "number-unit": lambda ph: f"{ph:.2f} pH",
    "bare-number": lambda ph: f"{ph:.2f}",
}
