"""The plain ground of whatever covers the whole panel."""

from __future__ import annotations

from kivy.graphics import Canvas, ClearBuffers, ClearColor

from benchapp.screens.display import design as d


def draw_ground(canvas: Canvas) -> None:
    """The ground over everything drawn so far. It is cleared, not filled: where a display is drawn in software, filling it
    takes a third of a frame."""
    with canvas:
        ClearColor(*d.SAND, 1.0)
        ClearBuffers()
