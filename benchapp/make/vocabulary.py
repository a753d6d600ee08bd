"""The words by which a make, its simulated hands and its faces understand each other. Journals, scenarios and typed
answers hold their text, so it must not change."""

from __future__ import annotations

from enum import StrEnum


class Verb(StrEnum):
    """What is to be done at the bench next."""

    ACKNOWLEDGE = "acknowledge"
    ADJUST_PH = "adjust ph"
    BLEND = "blend"
    BOTTLE_ON = "bottle on"
    CALM = "calm"
    CLEAR_TARE = "clear tare"
    CONFIRM = "confirm"
    COOL = "cool"
    EMPTY_PAN = "empty pan"
    FETCH = "fetch"
    FILL = "fill"
    FIND = "find"
    HEAT = "heat"
    INTO_BATH = "into bath"
    JUDGE = "judge"
    LIFT = "lift"
    PH_PROBE_IN = "ph probe in"
    POUR = "pour"
    PROBE_IN = "probe in"
    PUT_BACK = "put back"
    PUT_ON = "put on"
    READ_PH = "read ph"
    REMEDY = "remedy"
    REMOVE = "remove"
    REST = "rest"
    RESUME = "resume"
    SAMPLE = "sample"
    SIGN = "sign"
    START = "start"
    STIR = "stir"
    TRANSFER = "transfer"
    TYPE = "type"
    WAIT = "wait"
    WAIT_GATE = "wait gate"

    @property
    def shown_by_bench(self) -> bool:
        """Whether the readings tell when it is done, so that nobody has to say so."""
        return self in _SHOWN_BY_BENCH


_SHOWN_BY_BENCH = frozenset((
    Verb.POUR, Verb.PUT_ON, Verb.REST, Verb.LIFT, Verb.FILL, Verb.BOTTLE_ON, Verb.HEAT, Verb.COOL, Verb.WAIT_GATE,
    Verb.STIR, Verb.BLEND, Verb.WAIT,
))  # fmt: skip


class TroubleKind(StrEnum):
    """What stands above a step."""

    ALARM = "alarm"
    HELD = "held"
    DEVICE_LOST = "device lost"
    SCALE_DOUBTED = "scale doubted"
    UNWRITTEN = "unwritten"


class ChoiceKey(StrEnum):
    """What may be pressed. Behind ``AHEAD:`` and ``INSTEAD:`` a step is named, behind ``LOT:`` a lot, behind
    ``ONLY:`` a line of the formula, behind ``STRIP:`` its steps; behind ``YES:`` may stand the lot it was said of."""

    ACCEPT = "accept"
    ACCEPT_LESS = "accept less"
    ADD = "add"
    AGAIN = "again"
    AHEAD = "ahead"
    ANOTHER = "another"
    ANYWAY = "anyway"
    BACK = "back"
    CUT_SHORT = "cut short"
    DIFFERENT = "different"
    DILUTE = "dilute"
    ENOUGH = "enough"
    FROM_HERE = "from here"
    HAD_BEGUN = "had begun"
    INSTEAD = "instead"
    IN_POT = "in the pot"
    IT_IS = "it is"
    KEEP = "keep"
    LAST = "last"
    LOOK_AGAIN = "look again"
    LOT = "lot"
    METER = "meter"
    MIXED = "mixed"
    MOVED = "moved"
    NOT_WEIGHED = "not weighed"
    ONLY = "only"
    OTHERS = "others"
    PAN_IS_EMPTY = "pan is empty"
    POURED_ON = "poured on"
    RAN = "ran to its end"
    REMOVE = "remove"
    RESUME = "resume"
    SEEN_TO = "seen to"
    SIGN = "sign"
    SPILLED = "spilled"
    STANDS = "stands still"
    START = "start"
    STRIP = "strip"
    START_OVER = "start over"
    TAKE = "take"
    THAT_IS_ALL = "that is all"
    TOOL = "tool"
    TRY = "try"
    TYPED_ANYWAY = "typed anyway"
    TYPE_AGAIN = "type again"
    UNDERSTOOD = "understood"
    UNKNOWN = "unknown"
    USE_ANYWAY = "use anyway"
    WAIT = "wait"
    WITH_LESS = "with less"
    YES = "yes"


#: The choices behind which something is named.
NAMING = (ChoiceKey.AHEAD, ChoiceKey.INSTEAD, ChoiceKey.LOT, ChoiceKey.ONLY, ChoiceKey.STRIP)
#: Choices that do not go on: an objection, and what leads away from here.
ASIDE = (ChoiceKey.WAIT, ChoiceKey.ANOTHER, ChoiceKey.BACK, ChoiceKey.INSTEAD, ChoiceKey.OTHERS)
_CHOICES = {str(key): key for key in ChoiceKey}


def choice_named(word: str) -> tuple[ChoiceKey | None, str]:
    """The choice that a pressed or typed word stands for, and what it is about; None where it stands for none."""
    key, colon, of = word.partition(":")
    named = _CHOICES.get(key)
    fits = named == ChoiceKey.YES or bool(colon) == (named in NAMING)
    return (named, of) if fits else (None, "")


class Stage(StrEnum):
    """Where an act or a step stands inside itself. Behind ``REFUSED:`` and its two kin a lot is named."""

    FIRST = ""
    ADJUST = "adjust"
    ALARM = "alarm"
    BURST = "burst"
    CLEAR = "clear"
    COOLED = "cooled"
    DOSE = "dose"
    DOUBT = "doubt"
    HELD = "held"
    HOLDING = "holding"
    LIFT = "lift"
    LOST = "lost"
    LOT = "lot"
    MAKE_GOOD = "make good"
    NEXT = "next"
    OTHER_LOTS = "other lots"
    READ = "read"
    READY = "ready"
    REFUSED = "refused"
    REMEDY = "remedy"
    REMOVE = "remove"
    REST = "rest"
    RUNNING = "running"
    SAMPLE = "sample"
    SETTLE = "settle"
    SPILL = "spill"
    STIR = "stir"
    TYPED = "typed"
    UNWRITTEN = "unwritten"
    DILUTION_CLEAR = "dilution clear"
    DILUTION_LOT = "dilution lot"
    DILUTION_OTHER_LOTS = "dilution other lots"
    DILUTION_REFUSED = "dilution refused"
    DILUTION_SOLUTION = "dilution solution"
    DILUTION_WATER = "dilution water"
    TRIAL_CLEAR = "trial clear"
    TRIAL_DOSE = "trial dose"
    TRIAL_LOT = "trial lot"
    TRIAL_NEXT = "trial next"
    TRIAL_OTHER_LOTS = "trial other lots"
    TRIAL_READ = "trial read"
    TRIAL_REFUSED = "trial refused"
    TRIAL_SAMPLE = "trial sample"
    TRIAL_SETTLE = "trial settle"
    TRIAL_STIR = "trial stir"
    TRIAL_TYPED = "trial typed"

    @property
    def on_trial(self) -> bool:
        """Whether it is one of the trial sample's rather than the batch's."""
        return self.startswith(_TRIAL)

    @property
    def on_dilution(self) -> bool:
        """Whether it is one of a dilution in the making."""
        return self.startswith(_DILUTION)

    @property
    def plain(self) -> Stage:
        """The batch's stage that this one mirrors, or is."""
        text = self.removeprefix(_TRIAL).removeprefix(_DILUTION)
        return _STAGES.get(text, self)

    @property
    def asks_lot(self) -> bool:
        """Whether it is asked there which lot is in hand."""
        return self.plain in (Stage.LOT, Stage.OTHER_LOTS, Stage.REFUSED)

    def tried(self, trial: bool) -> Stage:
        """The same of the trial sample, where it is about one. Raises ValueError where a trial has no such stage."""
        return Stage(f"{_TRIAL}{self.plain}") if trial else self.plain

    def akin(self, other: Stage) -> Stage:
        """The same of what ``other`` is about: batch, trial or dilution. Raises ValueError where that has no such stage."""
        about = next((x for x in (_TRIAL, _DILUTION) if other.startswith(x)), "")
        return self if about and self.startswith(about) else Stage(f"{about}{self.plain}")


_TRIAL, _DILUTION = "trial ", "dilution "
_STAGES = {str(stage): stage for stage in Stage}


def stage_named(text: str) -> tuple[Stage, str]:
    """The stage of a recorded text, and the lot it names. One that this version does not know begins the act again:
    what happened, happened, and a fold refuses nothing."""
    stage, _, lot = text.partition(":")
    return _STAGES.get(stage, Stage.FIRST), lot
