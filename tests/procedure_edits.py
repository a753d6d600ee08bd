"""Shipped files with one thing changed, as a maker would break them."""

import re
from collections.abc import Callable

from procedures.errors import Problem, ProcedureInvalid
from procedures.reading import read_text
from procedures.shelf import find

Change = tuple[str, str] | Callable[[str], str]


def edited(name: str, *changes: Change) -> str:
    """The text of a shipped procedure with changes made: an old text, which must stand once, for a new one."""
    text = find(name).read_text(encoding="utf-8")
    for change in changes:
        if callable(change):
            text = change(text)
            continue
        old, new = change
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
        text = text.replace(old, new)
    return text


def step_block(text: str, title: str) -> str:
    """The whole [[step]] with a title, heading included."""
    blocks = re.findall(r"^\[\[step\]\].*?(?=^\[\[|^# ----|\Z)", text, re.M | re.S)
    (block,) = [b for b in blocks if f'title = "{title}"' in b]
    return block


def drop(title: str) -> Callable[[str], str]:
    """A change that leaves out one step."""
    return lambda text: text.replace(step_block(text, title), "")


def move(title: str, before: str) -> Callable[[str], str]:
    """A change that puts one step before another."""

    def change(text: str) -> str:
        block = step_block(text, title)
        rest = text.replace(block, "")
        at = step_block(rest, before)
        return rest.replace(at, block + at)

    return change


def mark(title: str) -> Callable[[str], str]:
    """A change that writes "# here" behind the heading of one step."""

    def change(text: str) -> str:
        block = step_block(text, title)
        return text.replace(block, block.replace("[[step]]", "[[step]] # here", 1))

    return change


def problems(text: str) -> tuple[Problem, ...]:
    """Everything the reader says about a text, warnings too."""
    try:
        return read_text(text, "mine.toml").warnings
    except ProcedureInvalid as invalid:
        return invalid.problems
