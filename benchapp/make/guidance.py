"""How much of a step's guidance is shown: full, normal or brief. Cautions are the same at all three."""

from __future__ import annotations

from dataclasses import replace

from benchapp.make.guidance_levels import Level
from benchapp.make.moment import Moment


def note_at(moment: Moment, level: Level) -> str:
    """The moment's own note, "" for brief. One that belongs to trouble or to a caution stays at every level."""
    stays = moment.trouble is not None or moment.face.cautions or moment.over
    return moment.face.note if stays or level != "brief" else ""


def coaching(moment: Moment, level: Level) -> tuple[str, ...]:
    """For full: why, what it looks like when it is right, what goes wrong, the dearest first; () for the others."""
    if level != "full" or moment.trouble is not None or moment.over:
        return ()
    detail = moment.detail
    said = (("Why", detail.why), ("Right", detail.look), ("Wrong", detail.wrong))
    return tuple(f"{head}: {text}" for head, text in said if text)


def guided(moment: Moment, level: Level) -> Moment:
    """The moment as somebody at this level wants it drawn: its notes in one, and the detail for whoever asks.
    Everything else is the same at every level: cautions, readings, what may be pressed, why not yet."""
    said = " ".join(text for text in (note_at(moment, level), *coaching(moment, level)) if text)
    face = replace(moment.face, note=said)
    return replace(moment, face=face)
