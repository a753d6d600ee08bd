"""A frozen picture of one instant: what to do, what is read, what may be pressed, and why not yet.

The touchscreen, the terminal and the voice all draw this and decide nothing themselves.
"""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.calculations.until_done import UntilDone
from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.source import Source
from benchapp.make.pictures import Outcome, Picture
from benchapp.make.vocabulary import ChoiceKey, Stage, TroubleKind, Verb

#: How a value stands, as a maker says it; the words that are compared and recorded stay as they are.
_SAID = {"in band": tr_noop("good"), "out of band": tr_noop("not good")}


@dataclass(frozen=True, slots=True)
class LiveValue:
    """One value as it stands now. ``value`` is None where there is none; ``word`` says how it stands; ``channel`` is
    the device's, "" where it has but one. ``to_go`` is how much is still missing until it is right, in its own unit,
    less than nothing where it is too much, None where nothing is; ``lacks`` is the same as a sentence of the reasons. ``checked``:
    nothing is to be said of whether its device was held against a known value: it was, or it is simulated."""

    name: str
    value: float | None
    unit: str
    decimals: int
    source: Source
    device: str
    word: str = ""
    checked: bool = True
    channel: str = ""
    to_go: float | None = None
    lacks: str = ""

    @property
    def stands(self) -> str:
        """How it stands, as a maker says it."""
        return _SAID.get(self.word, self.word)

    @property
    def measured_by(self) -> str:
        """The channel or device that reads it, in the maker's words."""
        return self.channel or self.device


@dataclass(frozen=True, slots=True)
class Choice:
    """Something that may be pressed. ``reason`` asks for a written why; ``serious`` wants a distinct act;
    ``sign`` is the meaning of the signature it stands for, given by a person's name and PIN, ``signer`` the only one who may give it, "" for
    whoever may; ``of`` is the step or lot
    it is about, where its key wants one; ``effect`` is what the batch is afterwards, where that helps to choose, and ``outcome`` the same
    in grams."""

    key: ChoiceKey
    label: str
    serious: bool = False
    reason: bool = False
    sign: str = ""
    signer: str = ""
    of: str = ""
    effect: str = ""
    outcome: Outcome | None = None

    @property
    def word(self) -> str:
        """The choice as it is pressed or typed."""
        return f"{self.key}:{self.of}" if self.of else self.key

    @property
    def typed(self) -> str:
        """What stands for it where it is typed: a yes is typed as one, whatever it is said of."""
        return self.key if self.key == ChoiceKey.YES else self.word


#: What a press says that opens the keypad, by the unit of what is typed.
_TYPED = {
    "g": tr_noop("Type the weight"), "°C": tr_noop("Type the temperature"), "pH": tr_noop("Type the pH"),
    "s": tr_noop("Type the seconds"), "": tr_noop("Type the number"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class NumberRequest:
    """A value the maker may type, in this unit, between these limits of what can be meant at all."""

    what: str
    unit: str
    low: float
    high: float
    decimals: int
    usual: bool  # typing is the usual way here, since no device measures it
    band: Band | None = None  # in which it is to lie, in the same unit

    @property
    def press(self) -> str:
        """What is pressed to type it."""
        return _TYPED.get(self.unit, "Type the value")

    @property
    def words(self) -> str:
        """What is asked for, in which unit and band."""
        within = (
            "" if self.band is None else tr(", {low:g} to {high:g}", low=self.band.low, high=self.band.high)
        )
        if self.what == self.unit:  # a pH has no unit beside its name
            return f"{self.what}{within}"
        return tr("{what} in {unit}{within}", what=self.what, unit=self.unit, within=within)


@dataclass(frozen=True, slots=True)
class CautionNotice:
    """A caution as it is drawn: signal word, ISO 7010 sign reference, text, first aid, and by name what it is of.

    ``scheme`` is "physical" (ANSI Z535 words) or "chemical" (the safety data sheet's own); never mixed.
    """

    key: str
    word: str
    scheme: str
    sign: str
    text: str
    first_aid: str
    statements: tuple[str, ...]
    serious: bool
    of: tuple[str, ...] = ()
    also: tuple[str, ...] = ()

    @property
    def signs(self) -> tuple[str, ...]:
        """Its sign; of a material with all that a sheet asks to wear, since a corrosive one wants gloves and glasses, too."""
        return (self.sign, *self.also) if self.scheme == "chemical" else (self.sign,)


@dataclass(frozen=True, slots=True)
class Forecast:
    """When a wait should end, in seconds from now, with its interval; None where nothing honest can be said."""

    what: str
    middle_s: float
    early_s: float
    late_s: float


#: Choices that only a person can make, whatever the bench shows: a weight alone does not tell.
_ASKED = (ChoiceKey.TAKE, ChoiceKey.IT_IS)


@dataclass(frozen=True, slots=True)
class Want:
    """What the bench should be made to do next, for a simulated pair of hands: verb, on what, how much."""

    verb: Verb
    thing: str = ""
    vessel: str = ""
    device: str = ""
    amount: float = 0.0
    limit: float = 0.0
    pace_g_s: float = 0.0  # poured no faster than so, where it is to go in slowly
    more: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Detail:
    """The full guidance of the step: why it matters, what it should look like, what goes wrong."""

    why: str = ""
    look: str = ""
    wrong: str = ""


@dataclass(frozen=True, slots=True)
class Meanwhile:
    """The wait that goes on beside a weighing done ahead; ``calls`` is why it wants its maker back, or ""."""

    title: str
    live: tuple[LiveValue, ...]
    forecast: Forecast | None
    calls: str


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One line of a phase: how much is wanted and was taken, in grams; None where it is nothing weighed, or not yet.
    ``state`` is "done", "now" or "next"; ``lot`` is "" where none is known."""

    name: str
    state: str
    target_g: float | None = None
    taken_g: float | None = None
    decimals: int = 1
    lot: str = ""


@dataclass(frozen=True, slots=True)
class StepSpan:
    """A step on the line of time. ``wait_s`` is the waiting it surely takes, in seconds; ``open_end``: what it waits for
    besides, for which there is no set time ("heating", "cooling"), "" where there is nothing of it."""

    title: str
    state: str
    wait_s: float
    open_end: str


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something that stands above the step: an alarm, a lost device, a doubted scale, a hold."""

    kind: TroubleKind
    title: str
    text: str


#: The moves that stop the pouring hand, and how a sentence begins that does.
ENOUGH, STOP_POURING = tr_noop("Enough"), tr_noop("Stop pouring")
#: The reason for it, which the glass need not say beside the move in large letters.
TOO_MUCH = tr_noop("Too much: stop.")


@dataclass(frozen=True, slots=True)
class ActView:
    """What one act contributes to the view. ``instruction`` is one short sentence; ``move`` is what the hands do
    next, in three words at most, read across the bench; ``note`` is what is read up close; ``then`` is a note that stands with the
    instruction where there is room."""

    instruction: str
    stage: Stage = Stage.FIRST
    live: tuple[LiveValue, ...] = ()
    picture: Picture = None
    not_yet: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = ()
    ask: NumberRequest | None = None
    forecast: Forecast | None = None
    want: Want | None = None
    cautions: tuple[CautionNotice, ...] = ()
    note: str = ""
    news: str = ""  # what has just happened at the bench: a rehearsal tells what a maker would have seen
    taking: float | None = (
        None  # a weighing is about to be taken by itself: 0 to 1 of the time to object has gone
    )
    move: str = ""
    then: str = ""

    @property
    def too_much(self) -> LiveValue | None:
        """The weighing that has gone past its band: stop."""
        return next((x for x in self.live if x.unit == "g" and x.to_go is not None and x.to_go < 0), None)

    @property
    def halts(self) -> bool:
        """Whether the pouring hand has to stop, at once."""
        return self.move in (ENOUGH, STOP_POURING)

    @property
    def struck(self) -> bool:
        """Whether something runs in by itself: nothing counts but that the hand stops."""
        return self.move == STOP_POURING

    @property
    def fetching(self) -> bool:
        """Whether an ingredient is to be in hand, so that a code can be meant."""
        return self.want is not None and self.want.verb == Verb.FETCH

    @property
    def awaits_person(self) -> bool:
        """Whether it waits for somebody to press or type, rather than for the bench."""
        if self.ask is not None and self.ask.usual:
            return True
        asked = any(c.key in _ASKED for c in self.choices)
        return bool(self.choices) and (asked or self.want is None or not self.want.verb.shown_by_bench)


@dataclass(frozen=True, slots=True)
class ViewModel:
    """The instant as a whole. ``prompt`` names what a press is meant for."""

    at_s: float
    batch: str
    procedure: str
    prompt: str
    step_key: str
    step_kind: str
    step_title: str
    step_number: int
    step_count: int
    progress: float  # 0 to 1 over the whole make
    act_view: ActView
    detail: Detail
    next_up: str
    cautions: tuple[CautionNotice, ...]
    trouble: Trouble | None
    deviations: int
    last: str  # the last thing recorded, in words
    over: str = ""  # "finished" or "abandoned"
    meanwhile: Meanwhile | None = None  # where the maker weighs ahead
    take_back: str = ""  # what could be taken back now, in words; "" where the world does not allow it
    sheet: tuple[SheetLine, ...] = ()  # the lines of this phase, or the steps where it has none
    spans: tuple[StepSpan, ...] = ()  # the make as a line of time
    left_s: float = 0.0  # the waiting that surely is still to come, in seconds
    until_done: UntilDone | None = None  # how long it still takes by finished makes like it

    @property
    def awaits_person(self) -> bool:
        """Whether it waits for a person: also where a device is lost, so that nothing can be read."""
        lost = self.trouble is not None and self.trouble.kind == TroubleKind.DEVICE_LOST
        return lost or self.act_view.awaits_person
