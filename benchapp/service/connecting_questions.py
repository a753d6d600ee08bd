"""What is asked on the way of a device to the bench file, and what can be seen meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import dataclass
from enum import StrEnum

from benchapp.make.view_model import NumberRequest
from benchapp.runtime.bench_monitor import ChannelStatus
from drivers.settings import DeviceSettings

#: The answer that a scale has no unit key.
NO_KEY = "none"


class StepKey(StrEnum):
    """What is asked."""

    UNPLUG = "unplug"
    PLUG_IN = "plug in"
    PORT = "port"
    SENDING = "sending"
    KIND = "kind"
    DISPLAY = "display"
    REST = "rest"
    MASS = "mass"
    CAPACITY = "capacity"
    UNIT_KEY = "unit key"
    UNIT_BACK = "unit back"
    DISPLAY_UNIT = "display unit"
    LINE = "line"
    MOTION = "motion"
    ADD = "add"


@dataclass(frozen=True, slots=True)
class ConnectingAnswer:
    """A word that answers a question, and what a press for it says."""

    word: str
    label: str


NEXT = ConnectingAnswer("", "Next")


@dataclass(frozen=True, slots=True)
class ConnectingStep:
    """One question.

    ``answers`` are the words it takes; none where it takes the mass of ``ask``, as "100 g". ``usual``: what is meant where a terminal
    is given an empty line. ``found`` is what came out since the question before. ``device`` is to be shown as it reads
    meanwhile, and ``done`` says of that whether the question is answered by itself.
    """

    key: StepKey
    question: str
    answers: tuple[ConnectingAnswer, ...] = (NEXT,)
    ask: NumberRequest | None = None
    usual: str = ""
    found: tuple[str, ...] = ()
    device: DeviceSettings | None = None
    done: Callable[[ChannelStatus], bool] | None = None


@dataclass(frozen=True, slots=True)
class Sight:
    """What can be seen while a question stands: the device as it reads, whether "Next" can be pressed, and whether it is
    answered already. ``line``: the newest that it sent, where no format reads it yet."""

    device: ChannelStatus | None = None
    ready: bool = True
    done: bool = False
    line: str = ""


#: Questions whose last answer is a word.
Answered = Generator[ConnectingStep, str, str]
