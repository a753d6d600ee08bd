"""Short words for the glass. No Kivy."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.foundation.source import Source
from benchapp.make.waits import wait
from benchapp.screens.display.figures import Figures
from benchapp.service.wording import state_of

if TYPE_CHECKING:
    from benchapp.make.view_model import Forecast, LiveValue
    from benchapp.record.batch_line import BatchLine

PLAIN = Figures()
#: Width of a digit and of a point in bold, as a share of the font size, for the font that is drawn.
DIGIT_EM, POINT_EM = 0.58, 0.3
_NUMBER_AND_UNIT = re.compile(r"(\d) (g|kg|ml|°C|%|min|s|h)(?=\W|$)")


def short_forecast(given: Forecast) -> str:
    """The same where there is room for half a line."""
    if given.early_s == given.late_s or math.isinf(given.late_s):
        return tr("about {wait} more", wait=wait(given.middle_s))
    return tr(
        "about {wait} more ({wait_2} to {wait_3})",
        wait=wait(given.middle_s),
        wait_2=wait(given.early_s),
        wait_3=wait(given.late_s),
    )


def held_together(text: str) -> str:
    """The text with each number kept on one line with its unit."""
    return _NUMBER_AND_UNIT.sub("\\1\u00a0\\2", text)


def number_of(live: LiveValue, figures: Figures = PLAIN) -> tuple[str, str]:
    """The value and its unit as they are drawn; seconds as minutes and seconds."""
    if live.value is None:
        return "–", figures.unit(live.unit)
    if live.unit == "s" and live.value >= 60:
        whole = round(live.value)
        return f"{whole // 60}:{whole % 60:02d}", "min"
    return figures.live(live.value, live.unit, live.decimals)


def to_go_of(live: LiveValue, figures: Figures = PLAIN, said_elsewhere: bool = False) -> tuple[str, str]:
    """What is large beside a number, and the words to it: how much is to go, how much is too much, else how it stands.
    ``said_elsewhere``: what is too much stands on the page already."""
    if said_elsewhere and live.to_go is not None and live.to_go < 0:
        return "", ""
    if live.to_go is None:
        return (live.stands, "") if live.word == "in band" else ("", live.stands)
    number, unit = _difference(abs(live.to_go), live, figures)
    words = tr("too much") if live.to_go < 0 else tr("to go")
    return f"+{number}" if live.to_go < 0 else number, words if unit == "pH" else f"{unit} {words}"


def _difference(amount: float, live: LiveValue, figures: Figures) -> tuple[str, str]:
    """A difference in the unit in which the value is shown: 1 °C apart is 1.8 °F apart."""
    if live.unit == "°C":
        return figures.number(f"{figures.kelvin(amount):.{live.decimals}f}"), figures.unit("°C")
    return figures.live(amount, live.unit, live.decimals)


def number_em(live: LiveValue, figures: Figures = PLAIN) -> float:
    """How wide the number gets at the most on its way to where it is right, in bold, as a multiple of its font size."""
    if live.unit == "s":
        return max(_em(number_of(live, figures)[0]), 2 * DIGIT_EM)
    now = live.value or 0.0
    there = now + live.to_go if live.unit == "g" and live.to_go is not None else now
    return max(_em(figures.live(v, live.unit, live.decimals)[0]) for v in (now, there))


def _em(number: str) -> float:
    return sum(POINT_EM if sign in ".,:" else DIGIT_EM for sign in number)


#: By the unit, what nobody has held against a known value: said of the device, since the number beside it may be good.
_UNCHECKED = {
    "g": tr_noop("scale not checked"), "°C": tr_noop("thermometer not checked"), "pH": tr_noop("pH meter not checked"),
    "": tr_noop("device not checked"),
}  # fmt: skip


def source_line(live: LiveValue) -> str:
    """Where a value comes from: what measures it, checked or not; stated or computed. A countdown says itself."""
    if live.unit == "s":
        return ""
    if live.source is Source.MEASURED:
        by = live.measured_by or ("measured" if live.checked else tr("device"))
        return by if live.checked else tr("{by} not checked", by=by)
    return tr("stated by you") if live.source is Source.STATED else "computed"


def short_source(live: LiveValue) -> str:
    """The same in a word or two, and nothing of a checked device; which it was stands in "More"."""
    if live.source is Source.MEASURED:
        return "" if live.checked else translated(_UNCHECKED.get(live.unit, "device not checked"))
    return "stated" if live.source is Source.STATED else "computed"


#: How a finished batch stands about which nobody has decided.
WAITS = tr_noop("waits for a decision")


def standing_of(b: BatchLine) -> tuple[str, str]:
    """How a batch stands: its mark, and the word."""
    state = state_of(b)
    if b.rehearsal:
        return "off", state
    if state == "finished":
        return "later", WAITS
    return {"released": "good", "rejected": "bad", "abandoned": "bad"}.get(state, "soon"), state


#: Kinds of step as somebody says them who learns them; a measured value is one that is no pH, such as how thick it flows.
SPOKEN = {
    "measure": tr_noop("other values"), "disperse": tr_noop("stir in a gum"), "rest": tr_noop("let it rest"),
    "look": tr_noop("look it over"),
}  # fmt: skip


def step_kinds(kinds: Sequence[str]) -> str:
    """Kinds of step as they are written, not as files spell them."""
    words = (tr(SPOKEN[kind]) if kind in SPOKEN else translated(kind) for kind in kinds)
    return ", ".join(word.replace(" ph", " pH") for word in words)
