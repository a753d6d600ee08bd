"""How much of a step's guidance is shown: full, normal or brief. Cautions are the same at all three."""

from __future__ import annotations

from dataclasses import replace

from benchapp.make.guidance_levels import Level
from benchapp.make.view_model import ViewModel


def note_at(view: ViewModel, level: Level) -> str:
    """The view's own note, "" for brief. One that belongs to trouble or to a caution stays at every level."""
    stays = view.trouble is not None or view.act_view.cautions or view.over
    return view.act_view.note if stays or level != "brief" else ""


def coaching(view: ViewModel, level: Level) -> tuple[str, ...]:
    """For full: why, what it looks like when it is right, what goes wrong, the dearest first; () for the others."""
    if level != "full" or view.trouble is not None or view.over:
        return ()
    detail = view.detail
    said = (("Why", detail.why), ("Right", detail.look), ("Wrong", detail.wrong))
    return tuple(f"{head}: {text}" for head, text in said if text)


def guided(view: ViewModel, level: Level) -> ViewModel:
    """The view as somebody at this level wants it drawn: its notes in one, and the detail for whoever asks.
    Everything else is the same at every level: cautions, readings, what may be pressed, why not yet."""
    said = " ".join(text for text in (note_at(view, level), *coaching(view, level)) if text)
    act_view = replace(view.act_view, note=said)
    return replace(view, act_view=act_view)
