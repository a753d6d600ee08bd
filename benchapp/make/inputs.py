"""Everything that can be put to a make: readings, faults, the clock, and what a person does. Frozen, timed."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.make.vocabulary import ChoiceKey, choice_named


@dataclass(frozen=True, slots=True)
class Grams:
    """One reading of a scale, in grams."""

    at_s: float
    device: str
    value_g: float
    stable: bool | None = None
    net: bool | None = None
    simulated: bool = False


@dataclass(frozen=True, slots=True)
class Degrees:
    """One reading of one probe, in degrees Celsius."""

    at_s: float
    device: str
    probe: str
    temp_c: float
    simulated: bool = False


@dataclass(frozen=True, slots=True)
class PhRead:
    """One reading of a pH meter."""

    at_s: float
    device: str
    ph: float
    simulated: bool = False


@dataclass(frozen=True, slots=True)
class NoNumber:
    """A device or one of its channels gave no number. ``lost`` where the device itself is out of reach."""

    at_s: float
    device: str
    channel: str | None
    fault: str
    text: str
    lost: bool


@dataclass(frozen=True, slots=True)
class Tick:
    """Nothing but time has passed."""

    at_s: float


@dataclass(frozen=True, slots=True)
class Press:
    """The maker pressed one of the choices a view offered, given by its word. ``prompt`` is the prompt it was meant
    for: a press that comes late, or twice, changes nothing. ``by``: "pedal", "pan", or "" for a hand."""

    at_s: float
    prompt: str
    choice: str
    reason: str = ""
    by: str = ""

    @property
    def key(self) -> ChoiceKey | None:
        """What was chosen; None where the word stands for nothing."""
        return choice_named(self.choice)[0]

    @property
    def of(self) -> str:
        """The step or lot it is about, or ""."""
        return choice_named(self.choice)[1]


@dataclass(frozen=True, slots=True)
class PedalDown:
    """The foot switch went down while ``prompt`` stood there: it may object to a weighing, nothing else yet."""

    at_s: float
    prompt: str


@dataclass(frozen=True, slots=True)
class Pedal:
    """The foot switch was pressed and let go, or held for two seconds. ``prompt`` stood there when it went down."""

    at_s: float
    prompt: str
    held: bool


@dataclass(frozen=True, slots=True)
class TypeValue:
    """The maker typed the value a view asked for, in the unit it asked for."""

    at_s: float
    prompt: str
    value: float


@dataclass(frozen=True, slots=True)
class TakeBack:
    """The maker takes the last act back."""

    at_s: float
    prompt: str


@dataclass(frozen=True, slots=True)
class Sign:
    """A person signs. ``proof`` is "pin" where the shell has proved who it is."""

    at_s: float
    prompt: str
    who: str
    role: str
    proof: str


@dataclass(frozen=True, slots=True)
class LotOnHand:
    """One lot of a material in the store. ``why_not`` is the sentence that speaks against using it, or ""."""

    lot: str
    material: str
    name: str
    left_g: float
    expires: str = ""
    code: str = ""
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class Store:
    """What the workshop has on hand now; the lots of a material in the order they should be offered."""

    at_s: float
    lots: tuple[LotOnHand, ...]


@dataclass(frozen=True, slots=True)
class Scanned:
    """A barcode reader typed a code."""

    at_s: float
    prompt: str
    code: str


@dataclass(frozen=True, slots=True)
class Hold:
    """The maker has to go away."""

    at_s: float
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Resume:
    """The maker is back."""

    at_s: float


@dataclass(frozen=True, slots=True)
class Skip:
    """Leave out the current step, for a written reason."""

    at_s: float
    prompt: str
    reason: str


@dataclass(frozen=True, slots=True)
class Abandon:
    """Give the batch up, for a written reason."""

    at_s: float
    reason: str


@dataclass(frozen=True, slots=True)
class Resumed:
    """The program was started again on an unfinished make, perhaps in another version."""

    at_s: float
    gap_s: float
    program: str = ""


@dataclass(frozen=True, slots=True)
class ClockSet:
    """The wall's clock was set by so many seconds, or its zone moved; the make's own clock went on."""

    at_s: float
    by_s: float
    zone_s: float


Input = (
    Grams | Degrees | PhRead | NoNumber | Tick | Press | PedalDown | Pedal | TypeValue | TakeBack | Sign | Scanned | Store | Hold | Resume | Skip | Abandon
    | Resumed | ClockSet
)  # fmt: skip
