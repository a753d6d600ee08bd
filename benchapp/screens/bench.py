"""What the app needs from outside the glass: what can be made, what was made, and how a make is begun."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from benchapp.bench_check import Check
    from benchapp.bench_watch import BenchWatch
    from benchapp.make.plan import Plan
    from benchapp.record.batch_record import Record
    from benchapp.record.journal import BatchLine
    from benchapp.rehearsal.debrief import Debrief
    from benchapp.screens.desk_facts import BatchFacts, Trend, Undecided
    from benchapp.screens.loop import Pulse
    from benchapp.screens.training_facts import Competent, Practice, Practices
    from benchapp.settings import Preferences
    from drivers.finding import Heard
    from drivers.settings import DeviceSettings


@dataclass(frozen=True, slots=True)
class Recipe:
    """A procedure on the shelf: its key, name, usual, smallest and largest batch in grams, what it is."""

    key: str
    name: str
    usual_g: float
    smallest_g: float
    largest_g: float
    about: str


@dataclass(frozen=True, slots=True)
class BenchFacts:
    """What the bench page says that has to be read from a disk first."""

    maker: str
    where: str
    unfinished: BatchLine | None
    devices: tuple[DeviceSettings, ...]
    checked: Mapping[str, str]  # device name to the ISO time it last passed
    practised: str = ""  # what the unfinished one rehearses, where it rehearses a scenario
    due: tuple[str, ...] = ()  # release checks that are due, a sentence each

    @property
    def missing(self) -> tuple[str, ...]:
        """What no device here can measure, in a sentence each: such values are typed."""
        kinds = {device.kind for device in self.devices}
        return tuple(text for kind, text in MISSING if kind not in kinds)


MISSING = (
    ("scale", "No scale is here: weights will be typed."),
    ("thermometer", "No thermometer is here: temperatures will be typed."),
    ("ph meter", "No pH meter is here: pH will be typed."),
)


class Desk(Protocol):
    """What is asked and written after a make; a method that writes gives the sentence of how it went."""

    def undecided(self) -> tuple[Undecided, ...]: ...
    def batch(self, batch: str) -> BatchFacts: ...
    def record_check(
        self, batch: str, check: str, value: float | None, words: str, fine: bool | None, by: str, pin: str
    ) -> str: ...
    def decide(self, batch: str, decision: str, reason: str, by: str, pin: str) -> str: ...
    def people(self) -> tuple[str, ...]: ...
    def prove(self, who: str, pin: str) -> tuple[str, str]: ...
    def lots(self) -> tuple[tuple[str, str], ...]: ...
    def trace_lot(self, lot: str) -> tuple[str, ...]: ...
    def trace_batch(self, batch: str) -> tuple[str, ...]: ...
    def compare(self, first: str, second: str) -> tuple[str, ...]: ...
    def trend(self, procedure: str) -> Trend | None: ...
    def debrief(self, batch: str) -> Debrief | str: ...
    def competence(self) -> tuple[Competent, ...]: ...
    def granters(self, who: str) -> tuple[str, ...]: ...
    def releasers(self) -> tuple[str, ...]: ...
    def enrol(self, who: str, roles: tuple[str, ...], by: str, by_pin: str, pin: str) -> str: ...
    def grant(self, who: str, kind: str, level: str, by: str, pin: str) -> str: ...


class Workshop(Protocol):
    """Wired by the command; the screens only ask, and never in the thread that draws."""

    maker: str
    where: str  # "a simulated bench", or the bench file

    def devices(self) -> tuple[DeviceSettings, ...]: ...
    def checked(self) -> Mapping[str, str]: ...
    def last_checks(self) -> Mapping[tuple[str, str], Check]: ...
    def keep_check(self, check: Check) -> str: ...
    def recipes(self) -> tuple[Recipe, ...]: ...
    def plan(self, key: str, batch_g: float) -> tuple[Plan, tuple[str, ...]]: ...
    def batches(self) -> tuple[BatchLine, ...]: ...
    def desk(self) -> Desk: ...
    def record(self, batch: str) -> Record: ...
    def watch(self) -> BenchWatch: ...
    def begin(self, key: str, batch_g: float) -> Pulse: ...
    def resume(self, batch: str) -> Pulse: ...
    def practices(self) -> Practices: ...
    def practise(self, key: str, who: str = "") -> Pulse: ...
    def rehearse(self, key: str, batch_g: float) -> Pulse: ...
    def leading_in(self) -> Practice | None: ...
    def practised(self, lines: Sequence[BatchLine]) -> Mapping[str, str]: ...
    def end(self) -> None: ...
    def keep_preferences(self, preferences: Preferences) -> None: ...
    def listen(self, tell: Callable[[str], None]) -> tuple[Heard, ...]: ...
    def add_device(self, heard: Heard, capacity_g: float | None) -> str: ...


def facts_of_bench(shop: Workshop) -> BenchFacts:
    """Read what the bench page says. Raises RecordError where the journal cannot be read."""
    open_makes = [b for b in shop.batches() if not b.end]
    unfinished = next(
        iter(sorted(open_makes, key=lambda b: b.rehearsal)), None
    )  # a real one before any rehearsal
    due = tuple(
        f"Due: {check.name}, of {one.batch}."
        for one in shop.desk().undecided()
        for check in one.checks
        if check.state == "due"
    )
    practised = shop.practised((unfinished,)).get(unfinished.batch, "") if unfinished is not None else ""
    return BenchFacts(
        shop.maker, shop.where, unfinished, shop.devices(), dict(shop.checked()), practised, due
    )
