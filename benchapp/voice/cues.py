"""Which tone a view wants: rising towards the band, inside it, above it, taken, alarm. Pure; time comes with the view."""

from __future__ import annotations

import math

from benchapp.foundation.language import tr_noop
from benchapp.make.pictures import BottlesPicture, VesselPicture
from benchapp.make.view_model import ViewModel
from benchapp.make.vocabulary import TroubleKind
from benchapp.voice import tones

#: Beeps towards the band begin at this share of the way, and come so often, far off and near, in seconds.
FROM_SHARE, FAR_S, NEAR_S = 0.5, 0.8, 0.25
#: What is wrong is sounded again after so long, in seconds.
ABOVE_EVERY_S, ALARM_EVERY_S = 2.0, 4.0


class Cues:
    """Remembers how things stood, so that a change is heard once and a lasting wrong again and again."""

    def __init__(self) -> None:
        self._words: tuple[str, ...] = ()
        self._prompt = ""
        self._last: str | None = None
        self._next_s = -math.inf
        self._alarm_s = -math.inf

    def next(self, view: ViewModel) -> bytes | None:
        """A WAV to play now, or None."""
        if view.trouble is not None and view.trouble.kind == TroubleKind.ALARM:
            if view.at_s < self._alarm_s + ALARM_EVERY_S:
                return None
            self._alarm_s = view.at_s
            return tones.played(tones.ALARM)
        self._alarm_s = -math.inf
        taken, self._last = self._last not in (None, view.last), view.last
        if taken:
            return tones.played(tones.TAKEN)
        return self._standing(view)

    def _standing(self, view: ViewModel) -> bytes | None:
        words = tuple(live.word for live in view.act_view.live)
        same = view.prompt == self._prompt and words == self._words
        entered = view.prompt == self._prompt and not same
        self._prompt, self._words = view.prompt, words
        if "in band" in words and entered and all(w in ("in band", "above") for w in words):
            return tones.played(tones.INSIDE)
        if {"above", tr_noop("far above")} & set(words):
            return self._again(view, tones.ABOVE, ABOVE_EVERY_S, entered)
        return self._towards(view)

    def _again(self, view: ViewModel, notes: tones.Notes, every_s: float, at_once: bool) -> bytes | None:
        if not at_once and view.at_s < self._next_s:
            return None
        self._next_s = view.at_s + every_s
        return tones.played(notes)

    def _towards(self, view: ViewModel) -> bytes | None:
        picture = view.act_view.picture
        if not isinstance(picture, VesselPicture | BottlesPicture) or picture.net_g is None:
            return None
        share = picture.net_g / picture.low_g if picture.low_g > 0 else 0.0
        if not FROM_SHARE <= share < 1.0 or view.at_s < self._next_s:
            return None
        way = (share - FROM_SHARE) / (1.0 - FROM_SHARE)
        self._next_s = view.at_s + FAR_S + (NEAR_S - FAR_S) * way
        return tones.approach(way)
