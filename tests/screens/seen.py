"""What is seen of a make that is laid out: words as they are meant, how large they are to the eye, what lies over what."""

from __future__ import annotations

import re

from benchapp.foundation.language import translated
from benchapp.screens.display.sizes import CAP_SHARE, arcmin


def plain(words):
    """Words without what the glass makes of them: what keeps a number by its unit, and the mark it is written with."""
    return re.sub(r"(?<=\d),(?=\d)", ".", " ".join(translated(words).replace("\u00a0", " ").split()))


def seen_arcmin(font, panel, metres):
    return arcmin(font * CAP_SHARE, panel.px_per_mm, metres)


def far_enough(text, panel, least):
    """Whether words are seen under so many arc minutes from where one works."""
    return seen_arcmin(text.font, panel, panel.work_m) >= least


def counts_down(x):
    """Whether what is left is the reading itself."""
    return any(live.unit == "s" for live in x.view.act_view.live)


def overlap(one, other, slack=3.0):
    return (
        one.x < other.right - slack
        and other.x < one.right - slack
        and one.y < other.top - slack
        and other.y < one.top - slack
    )
