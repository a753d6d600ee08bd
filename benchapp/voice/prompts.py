"""What a view says aloud: its one instruction, what is serious, and nothing twice. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.make.view_model import ViewModel
from benchapp.make.vocabulary import TroubleKind
from benchapp.make.waits import beside
from benchapp.voice.spoken import shape, spoken

#: Longer than this nobody listens, in characters.
LONGEST = 160


@dataclass(frozen=True, slots=True)
class Utterance:
    """Something to say. It is true while ``key`` is what the view stands for; ``urgent`` cuts what is being said."""

    key: str
    text: str
    urgent: bool = False


def key_of(view: ViewModel) -> str:
    """What the view stands for, its running numbers left out. An utterance with another key is stale."""
    above = view.trouble.kind if view.trouble else ""
    if view.meanwhile is not None and view.meanwhile.calls:
        above = f"{above}{shape(view.meanwhile.calls)}"
    return f"{view.prompt}|{above}|{shape(view.act_view.instruction)}"


def utterance_of(view: ViewModel) -> Utterance:
    """What this view would say."""
    if view.over:
        return Utterance(key_of(view), spoken(view.act_view.instruction))
    if view.trouble is not None:
        said = f"{view.trouble.title}. {view.act_view.instruction}"
        return Utterance(key_of(view), _short(said), view.trouble.kind == TroubleKind.ALARM)
    instruction = view.act_view.instruction
    if view.meanwhile is not None and view.meanwhile.calls:
        return Utterance(key_of(view), _short(beside(view.meanwhile)), True)
    if view.act_view.cautions:
        gravest = view.act_view.cautions[0]
        word = f"{gravest.word.capitalize()}. " if gravest.word else ""
        return Utterance(key_of(view), _short(f"{word}{gravest.text} {instruction}"))
    return Utterance(key_of(view), _short(instruction), view.act_view.halts)


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
    """Remembers what was said, so that the same is not said twice: at one prompt not at all, however often a reading comes into
    its band and leaves it, but for what stopped the hand in between."""

    def __init__(self) -> None:
        self._said, self._prompt = "", ""
        self._heard: set[str] = set()

    def next(self, view: ViewModel) -> Utterance | None:
        """What is new and worth saying, or None."""
        utterance = utterance_of(view)
        if utterance.key == self._said:
            return None
        loud = view.trouble is not None or utterance.urgent
        if loud or view.prompt != self._prompt:
            self._heard.clear()
        again = utterance.key in self._heard
        self._said, self._prompt = utterance.key, view.prompt
        self._heard.add(utterance.key)
        return utterance if loud or not again else None
