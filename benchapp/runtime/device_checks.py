"""Checks of the bench against known values, and when each device last passed one; kept beside the journal.

A reference weight is held against OIML R 76-1: the error allowed on verification is 0.5 e up to 5,000 e (class II) or
500 e (class III), 1 e up to 20,000 e or 2,000 e, 1.5 e above; in service twice that. e is taken as the scale's last
digit, and the class as III up to 10,000 e of capacity, else II. The ice point is 0 °C; boiling follows the altitude
(calculations.evaporation). What a probe may be off, 1 K, and a meter, 0.1 pH, is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from benchapp.calculations.ph_electrode import check_readings
from benchapp.foundation.json_lines import append_line, lines_in
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact
from benchapp.record.documents.plain_text import minute

#: A probe passes within so many kelvin of ice or boiling water; a meter within so many pH of a buffer.
PROBE_K, BUFFER_PH = 1.0, 0.1
FILE = "bench-checks.json"


#: Buffers are at room temperature; five degrees change the theoretical slope by 1.7 %.
ROOM_C = 25.0


@dataclass(frozen=True, slots=True)
class Check:
    """One check: which device, against what, what was expected and found, how far off it may be, and when.

    ``channel`` is the probe of a thermometer with several; "" where the device has but one, or all were meant.
    ``simulated``: it was a simulated device, and says nothing of a real one of the same name.
    """

    device: str
    against: str
    expected: float
    found: float
    allowed: float
    unit: str
    at: str  # wall clock, ISO 8601
    maker: str
    source: str = "stated"  # "measured" where the app read the device itself
    channel: str = ""
    simulated: bool = False

    @property
    def passed(self) -> bool:
        """Whether it is near enough."""
        return exact(abs(self.found - self.expected)) <= exact(self.allowed)

    @property
    def device_words(self) -> str:
        """The device, with its probe where it has several."""
        return f"{self.device}, {self.channel}" if self.channel else self.device

    @property
    def verdict(self) -> str:
        """What was found, and how far off that is."""
        off = self.found - self.expected
        return tr(
            "{device_words}, {against}: {found:g} {unit} ({source}), off by {off:+.3g}, allowed {allowed:g}.",
            device_words=self.device_words,
            against=self.against,
            found=self.found,
            unit=self.unit,
            source=self.source,
            off=off,
            allowed=self.allowed,
        )

    @property
    def words(self) -> str:
        """What was found against what, by whom and when."""
        return tr(
            "{against}: {found:g} {unit} for {expected:g}, allowed {allowed:g} ({how}; {maker}, {replace})",
            against=self.against,
            found=self.found,
            unit=self.unit,
            expected=self.expected,
            allowed=self.allowed,
            how=tr("passed") if self.passed else tr("failed"),
            maker=self.maker,
            replace=minute(self.at),
        )


def electrode(checks: Sequence[Check], device: str) -> str:
    """Slope and offset of a pH electrode from its last two different buffers of one day, in one sentence; "" before
    there are two that lie far enough apart."""
    buffers = [c for c in checks if c.device == device and c.unit == "pH"]
    if not buffers:
        return ""
    last = buffers[-1]
    before = (
        c
        for c in reversed(buffers[:-1])
        if abs(c.expected - last.expected) >= 1.0 and c.at[:10] == last.at[:10]
    )
    other = next(before, None)
    if other is None:
        return ""
    found = check_readings((other.expected, other.found), (last.expected, last.found), ROOM_C)
    said = tr(
        "Electrode: slope {slope_percent:.0f} %, offset {offset_mv:.0f} mV (computed from two buffers).",
        slope_percent=found.slope_percent,
        offset_mv=found.offset_mv,
    )
    return f"{said} {found.complaint[:1].upper()}{found.complaint[1:]}." if found.complaint else said


def weight_allowed_g(load_g: float, readability_g: float, capacity_g: float) -> float:
    """How far off a scale in service may be at a load, in grams (OIML R 76-1, twice the verification error)."""
    steps = (500.0, 2_000.0) if capacity_g / readability_g <= 10_000 else (5_000.0, 20_000.0)
    parts = load_g / readability_g
    return 2.0 * readability_g * (0.5 if parts <= steps[0] else 1.0 if parts <= steps[1] else 1.5)


def passed_at(
    folder: Path, channels: Mapping[str, Sequence[str]] | None = None, simulated: bool = False
) -> dict[str, str]:
    """When each device last passed: name to ISO time.

    A device has passed where the newest check of every channel that was ever checked was passed; with ``channels``
    (a device's name to those it has), where every one of them was. The time is that of the oldest of these.
    """
    newest: dict[str, dict[str, Check]] = {}
    for check in checks_in(folder, simulated):
        known = newest.setdefault(check.device, {})
        if not check.channel:
            known.clear()  # it was all of it that was checked
        known[check.channel] = check
    passed = {}
    for name, known in newest.items():
        wanted = (channels or {}).get(name, ())
        whole = "" in known or all(channel in known for channel in wanted)
        if whole and all(check.passed for check in known.values()):
            passed[name] = min(check.at for check in known.values())
    return passed


def checks_in(folder: Path, simulated: bool = False) -> list[Check]:
    """Every check of real devices kept here, or of simulated ones, oldest first; a line that is only half there
    (a power cut) is left out."""
    place = folder / FILE
    if not place.is_file():
        return []
    found = []
    for entry in lines_in(place.read_bytes()):
        try:
            found.append(Check(**(entry or {})))
        except TypeError:
            continue
    return [check for check in found if check.simulated == simulated]


def keep(folder: Path, check: Check) -> None:
    """Add a check, one line of JSON each. Raises OSError where the folder cannot be written."""
    append_line(folder / FILE, asdict(check))
