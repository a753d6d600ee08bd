"""A line of text to be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from benchapp.screens.display import design as d
from benchapp.screens.drawings.shapes import draw_shape

#: The shape of a mark before a line, and the name of its colour: right, wrong, has to be done, comes soon, comes later,
#: not of the real world, what is to be known, what comes next, what changes where it stands.
MARKS = {
    "good": ("tick", "KELP"), "bad": ("cross", "CORAL"), "open": ("call", "CORAL"), "soon": ("clock", "MUSSEL"),
    "later": ("dots", "SLATE"), "off": ("diamond", "SLATE"),
    "known": ("info", "TIDE"), "next": ("dot", "DRIFT"), "turns": ("round", "SLATE"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class TextLine:
    """Its words, how they look, and what stands before them: a mark (see MARKS), a time, or nothing."""

    text: str
    bold: bool = False
    color: d.RGB | None = None
    mark: str = ""
    time: str = ""
    head: ClassVar[bool] = False  # none is a heading


def draw_mark(mark: str, x: float, y: float, side: float) -> None:
    """A mark with its left bottom corner there, as it is coloured now, onto the canvas that is drawn on."""
    shape, colour = MARKS[mark]
    draw_shape(shape, x, y, side, getattr(d, colour))
