"""What a moment says aloud: its one instruction, what is serious, and nothing twice. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.make.moment import Moment
from benchapp.make.waits import beside
from benchapp.voice.spoken import shape, spoken

#: Longer than this nobody listens, in characters.
LONGEST = 160


@dataclass(frozen=True, slots=True)
class Utterance:
    """Something to say. It is true while ``key`` is what the moment stands for; ``urgent`` cuts what is being said."""

    key: str
    text: str
    urgent: bool = False


def key_of(moment: Moment) -> str:
    """What the moment stands for, its running numbers left out. An utterance with another key is stale."""
    above = moment.trouble.kind if moment.trouble else ""
    if moment.meanwhile is not None and moment.meanwhile.calls:
        above = f"{above}{shape(moment.meanwhile.calls)}"
    return f"{moment.prompt}|{above}|{shape(moment.face.instruction)}"


def utterance_of(moment: Moment) -> Utterance:
    """What this moment would say."""
    if moment.over:
        return Utterance(key_of(moment), spoken(moment.face.instruction))
    if moment.trouble is not None:
        said = f"{moment.trouble.title}. {moment.face.instruction}"
        return Utterance(key_of(moment), _short(said), moment.trouble.kind == "alarm")
    instruction = moment.face.instruction
    if moment.meanwhile is not None and moment.meanwhile.calls:
        return Utterance(key_of(moment), _short(beside(moment.meanwhile)), True)
    if moment.face.cautions:
        gravest = moment.face.cautions[0]
        word = f"{gravest.word.capitalize()}. " if gravest.word else ""
        return Utterance(key_of(moment), _short(f"{word}{gravest.text} {instruction}"))
    return Utterance(key_of(moment), _short(instruction), instruction.startswith("Stop"))


def _short(text: str) -> str:
    """Whole sentences, as many as are listened to."""
    sentences = spoken(text).split(". ")
    out = sentences[0]
    for sentence in sentences[1:]:
        if len(out) + len(sentence) + 2 > LONGEST:
            break
        out = f"{out}. {sentence}"
    return out if out.endswith((".", "?", "!")) else f"{out}."


class Prompts:
    """Remembers what was said, so that the same is not said twice."""

    def __init__(self) -> None:
        self._said = ""

    def next(self, moment: Moment) -> Utterance | None:
        """What is new and worth saying, or None."""
        utterance = utterance_of(moment)
        if utterance.key == self._said:
            return None
        self._said = utterance.key
        return utterance
