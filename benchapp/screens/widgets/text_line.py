"""A line of text to be."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.screens.display import design as d

#: The shape of a mark before a line, and the name of its colour: right, wrong, has to be done, comes soon, comes later,
#: not of the real world, what is to be known, what comes next, what changes where it stands.
MARKS = {
    "good": ("tick", "KELP"), "bad": ("stop", "CORAL"), "open": ("call", "CORAL"), "soon": ("clock", "MUSSEL"),
    "later": ("dots", "SLATE"), "off": ("diamond", "SLATE"),
    "known": ("info", "TIDE"), "next": ("dot", "DRIFT"), "turns": ("round", "SLATE"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class TextLine:
    """Its words, how they look, and what stands before them: a mark (see MARKS), a time, or nothing.

    ``head``: a heading, which never stands last on a page; ``fresh``: it begins a column where there are several.
    """

    text: str
    bold: bool = False
    color: d.RGB | None = None
    mark: str = ""
    time: str = ""
    head: bool = False
    fresh: bool = False
