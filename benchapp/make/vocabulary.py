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
    """What may be pressed. Behind ``AHEAD:`` a step is named, behind ``LOT:`` a lot."""

    ACCEPT = "accept"
    ACCEPT_LESS = "accept less"
    ADD = "add"
    AGAIN = "again"
    AHEAD = "ahead"
    ANYWAY = "anyway"
    BACK = "back"
    CUT_SHORT = "cut short"
    DIFFERENT = "different"
    ENOUGH = "enough"
    FROM_HERE = "from here"
    GO_ON = "go on"
    HAD_BEGUN = "had begun"
    IT_IS = "it is"
    KEEP = "keep"
    LAST = "last"
    LOOK_AGAIN = "look again"
    LOT = "lot"
    MOVED = "moved"
    NOT_WEIGHED = "not weighed"
    OTHERS = "others"
    PAN_IS_EMPTY = "pan is empty"
    POURED_ON = "poured on"
    REMOVE = "remove"
    RESUME = "resume"
    SEEN_TO = "seen to"
    SIGN = "sign"
    START = "start"
    START_OVER = "start over"
    TAKE = "take"
    THAT_IS_ALL = "that is all"
    TRY = "try"
    TYPED_ANYWAY = "typed anyway"
    TYPE_AGAIN = "type again"
    UNDERSTOOD = "understood"
    USE_ANYWAY = "use anyway"
    WAIT = "wait"
    YES = "yes"


_CHOICES = {str(key): key for key in ChoiceKey}


def choice_named(word: str) -> tuple[ChoiceKey | None, str]:
    """The choice that a pressed or typed word stands for, and what it is about; None where it stands for none."""
    key, colon, of = word.partition(":")
    named = _CHOICES.get(key)
    return (named, of) if bool(colon) == (named in (ChoiceKey.AHEAD, ChoiceKey.LOT)) else (None, "")
