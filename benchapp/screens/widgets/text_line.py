"""A line of text to be."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.screens.display import design as d


@dataclass(frozen=True, slots=True)
class TextLine:
    """Its words, how they look, and what stands before them: a mark (see pager.MARKS), a time, or nothing.

    ``head``: a heading, which never stands last on a page.
    """

    text: str
    bold: bool = False
    color: d.RGB | None = None
    mark: str = ""
    time: str = ""
    head: bool = False
