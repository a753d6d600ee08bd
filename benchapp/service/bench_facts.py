"""What the bench page shows, as plain data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr_noop

if TYPE_CHECKING:
    from benchapp.record.batch_line import BatchLine
    from benchapp.service.open_matters import OpenMatter
    from drivers.settings import DeviceSettings


#: What a channel is measured in, by its device's kind.
UNIT = {"scale": "g", "thermometer": "°C", "ph meter": "pH"}
#: What is typed where no device of a kind is there, in a sentence each.
MISSING = (
    ("scale", tr_noop("No scale is here: weights will be typed.")),
    ("thermometer", tr_noop("No thermometer is here: temperatures will be typed.")),
    ("ph meter", tr_noop("No pH meter is here: pH will be typed.")),
)


@dataclass(frozen=True, slots=True)
class BenchFacts:
    """What the bench page says that has to be read from a disk first."""

    maker: str
    where: str
    unfinished: BatchLine | None
    devices: tuple[DeviceSettings, ...]
    checked: Mapping[str, str]  # device name to the ISO time it last passed
    practised: str = ""  # what the unfinished one rehearses, where it rehearses a scenario
    matters: tuple[OpenMatter, ...] = ()  # what wants something done, the most urgent first
    workshop: str = ""  # how this bench stands to its workshop's server; "" for a bench alone

    @property
    def missing(self) -> tuple[str, ...]:
        """What no device here can measure, in a sentence each: such values are typed."""
        kinds = {device.kind for device in self.devices}
        return tuple(text for kind, text in MISSING if kind not in kinds)
