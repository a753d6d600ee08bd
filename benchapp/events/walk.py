"""Events of the make as a whole and of its walk through the steps."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.events.base import DeviceFacts, Event

#: The version of a make whose procedure nobody had approved: it is a trial, and stays here.
TRIAL = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeStarted(Event):
    """Everything a replay needs: the procedure's text as it stood, the size, the bench."""

    batch: str
    maker: str
    procedure: str
    procedure_sha256: str
    procedure_text: str
    batch_g: float
    devices: tuple[DeviceFacts, ...]
    rehearsal: bool = False
    role: str = ""  # the maker's: "maker", "helper" or "" where nobody is enrolled
    witness: tuple[str, ...] = ()  # kinds of step in which a second person has to sign
    scenario: str = ""  # of a rehearsal
    again: str = ""  # the batch this one was asked to repeat
    ph_step: float | None = (
        None  # of the strip the pH is read from on this bench, 0: a meter; None: not said yet
    )
    law: str = ""  # the text of the workshop's own file of law as it stood, "" where it had none
    version: int | None = (
        None  # of the approved master, 0: a trial; None: a rehearsal, or before versions were kept
    )
    program: str = ""  # the version of the program that began it, "" where that is not known


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeResumed(Event):
    """The program was started again. ``gap_s`` is the wall time nobody watched, 0 where the wall clock lied."""

    gap_s: float
    program: str = ""  # its version, "" where that is not known


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeHeld(Event):
    """The maker went away; nothing goes on."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldEnded(Event):
    """The maker is back, after ``held_s`` seconds."""

    held_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeAbandoned(Event):
    """The batch was given up, for a written reason."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeFinished(Event):
    """The walk is at its end; finished is not released."""

    product_g: float
    yield_percent: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed(Event):
    """A named person's signature with its meaning; the journal adds date and time (21 CFR 11.50(a))."""

    step: str
    who: str
    meaning: str
    role: str = ""
    proof: str = ""  # "pin" where the person proved who they are; "" where nobody is enrolled


@dataclass(frozen=True, slots=True, kw_only=True)
class StepBegan(Event):
    """A step of the method began."""

    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepFinished(Event):
    """All acts of a step are done."""

    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepSkipped(Event):
    """A step was left out, for a written reason."""

    step: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepPutOff(Event):
    """Before anything was done in it, ``step`` made way for ``into``, which may be done in any order with it."""

    step: str
    into: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SteppedAside(Event):
    """While ``act`` of ``step`` waits, the weighing ``into`` is done ahead. ``vessels``: those of the wait."""

    step: str
    act: str
    into: str
    vessels: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SteppedBack(Event):
    """Back at the wait of ``step``, and why. ``again``: what has to be done once more when ``left`` is taken up."""

    step: str
    left: str
    why: str
    again: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ActBegan(Event):
    """The maker is asked for the next thing."""

    step: str
    act: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ActFinished(Event):
    """It is done."""

    step: str
    act: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ActTakenBack(Event):
    """The maker took the last act back: it is asked again, and what it recorded no longer counts."""

    step: str
    act: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StageReached(Event):
    """An act moved on inside itself (reading back → pouring → deciding a remedy). ``in_g``: where a pour asks which lot it
    goes on from, grams of the line that were in the vessel then; None of any other stage, or where no scale told."""

    step: str
    act: str
    stage: str
    in_g: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched(Event):
    """A minute in which nothing happened, and the program was there to see it: waits survive a power cut."""

    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmed(Event):
    """The maker said yes to ``text``. ``how``: "pedal", "pan" (three pushes on an empty one), "" by hand."""

    step: str
    act: str
    text: str
    how: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionShown(Event):
    """A caution came on the screen."""

    step: str
    caution: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionAcknowledged(Event):
    """A serious caution was acknowledged by a distinct act. ``how``: "pedal" where it was held, "" by hand."""

    step: str
    caution: str
    how: str = ""
