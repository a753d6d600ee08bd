"""What a typed line means at a moment. Pure."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal

from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import decimal
from benchapp.make import inputs
from benchapp.make.hands_free import plain_choice
from benchapp.make.view_model import Choice, ViewModel

#: A plain decimal number; the mark is a point or a comma, never both, and digits are not grouped.
_NUMBER = re.compile(r"[+-]?[0-9]{1,9}(?:[.,][0-9]{1,6})?")
#: What a barcode reader types: no blanks, and a digit in it, so that a mistyped word is no code.
_CODE = re.compile(r"(?=.*[0-9])[!-~]{3,80}")
HELP = tr_noop(
    "Enter: yes. A choice by its name, with a colon and your reason where one is asked: "
    "accept: scale was bumped. A number (or type: 12.3): the value asked for. hold, "
    "resume, skip: why, abandon: why, scan: CODE, sign: NAME PIN, take back, more, help."
)


Command = Literal[
    "press", "type", "scan", "sign", "take back", "hold", "resume", "skip", "abandon", "more", "help", "nothing"
]  # fmt: skip
#: What can be said at any moment.
ALWAYS: dict[str, Command] = {
    "hold": "hold", "resume": "resume", "more": "more", "help": "help", "?": "help", "take back": "take back",
}  # fmt: skip
#: What wants something after a colon: a code, a name and a PIN, or a reason.
WITH_WORDS: dict[str, Command] = {"scan": "scan", "sign": "sign"}
WITH_REASON: dict[str, Command] = {"skip": "skip", "abandon": "abandon"}


@dataclass(frozen=True, slots=True)
class ParsedAnswer:
    """A line understood: what to do and with what."""

    command: Command
    choice: str = ""
    reason: str = ""
    value: float = 0.0

    def given(self, at_s: float, prompt: str) -> inputs.Input | None:
        """What it puts to the make; None where it only asks the terminal for something, or has to be proved."""
        match self.command:
            case "press":
                return inputs.Press(at_s, prompt, self.choice, self.reason)
            case "type":
                return inputs.TypeValue(at_s, prompt, self.value)
            case "scan":
                return inputs.Scanned(at_s, prompt, self.choice)
            case "take back":
                return inputs.TakeBack(at_s, prompt)
            case "hold":
                return inputs.Hold(at_s, self.reason)
            case "resume":
                return inputs.Resume(at_s)
            case "skip":
                return inputs.Skip(at_s, prompt, self.reason)
            case "abandon":
                return inputs.Abandon(at_s, self.reason)
            case _:
                return None


class NotUnderstood(Exception):
    """A line that means nothing here; the text says what would."""


def understand(line: str, view: ViewModel) -> ParsedAnswer:
    """The meaning of one line. Raises NotUnderstood with one sentence."""
    text = line.strip()
    word, _, rest = text.partition(":")
    word, reason = word.strip().lower(), rest.strip()
    if not text:
        return _enter(view)
    exact = _choice(text.lower(), view)  # some choices have a colon in their name: lot:W7
    if exact is not None and exact.sign:
        raise NotUnderstood(tr("{label}: write sign: NAME PIN; the PIN is not shown.", label=exact.label))
    if exact is not None and not exact.reason:
        return ParsedAnswer("press", exact.word)
    if view.act_view.fetching and _CODE.fullmatch(text):
        return ParsedAnswer("scan", choice=text)  # a barcode reader types the code and Enter
    if _NUMBER.fullmatch(text):
        return _number(text, view)
    if word == "type" and _NUMBER.fullmatch(reason):
        return _number(reason, view)
    return _command(word, reason) or _pressed(text, word, reason, view)


def meant_for_now(line: str, view: ViewModel) -> bool:
    """Whether a line that is not understood is a slip in what can be said at this moment, and not for a later one: kept
    until it fits, it would keep back every word after it, hold too."""
    word = line.partition(":")[0].strip().lower()
    commands = {*ALWAYS, *WITH_WORDS, *WITH_REASON, *(["type"] if view.act_view.ask is not None else [])}
    return word in commands or _choice(word, view) is not None


def _command(word: str, reason: str) -> ParsedAnswer | None:
    """What can be said at any moment; None where the word is no such thing."""
    if word in WITH_WORDS and reason:
        return ParsedAnswer(WITH_WORDS[word], choice=reason)
    if word in ALWAYS:
        return ParsedAnswer(ALWAYS[word], reason=reason)
    if word in WITH_REASON:
        _wanted(reason, word)
        return ParsedAnswer(WITH_REASON[word], reason=reason)
    return None


def _wanted(reason: str, word: str) -> None:
    if not reason:
        raise NotUnderstood(tr("{word} wants a reason: {word}: why", word=word))


def _pressed(text: str, word: str, reason: str, view: ViewModel) -> ParsedAnswer:
    choice = _choice(word, view)
    if choice is None:
        raise NotUnderstood(tr("{text!r} is not offered here. {offer}", text=text[:40], offer=offer(view)))
    if choice.reason:
        _wanted(reason, choice.typed)
    return ParsedAnswer("press", choice.word, reason)


def _enter(view: ViewModel) -> ParsedAnswer:
    plain = plain_choice(view.act_view)
    return ParsedAnswer("nothing") if plain is None else ParsedAnswer("press", plain.word)


def _number(text: str, view: ViewModel) -> ParsedAnswer:
    ask = view.act_view.ask
    if ask is None:
        raise NotUnderstood(tr("No value is asked for here. {offer}", offer=offer(view)))
    value = float(decimal(text))
    if not math.isfinite(value) or not ask.low <= value <= ask.high:
        raise NotUnderstood(
            tr(
                "{what}: {text} {unit} cannot be meant; {low:g} to {high:g} can.",
                what=ask.what,
                text=text,
                unit=ask.unit,
                low=ask.low,
                high=ask.high,
            )
        )
    return ParsedAnswer("type", value=value)


def _choice(word: str, view: ViewModel) -> Choice | None:
    for choice in view.act_view.choices:
        if word in (choice.word.lower(), choice.typed, choice.label.lower()):
            return choice
    return None


def offer(view: ViewModel) -> str:
    """The sentence that names what can be said now."""
    names = [
        c.typed if c.label.lower() == c.typed.lower() else f"{c.typed} ({c.label})"
        for c in view.act_view.choices
    ]
    if view.act_view.ask is not None:
        names.append(tr("a number ({unit})", unit=view.act_view.ask.unit))
    return (
        tr("Offered: {names}.", names=", ".join(names))
        if names
        else tr("Nothing has to be said here; the bench decides.")
    )
