"""Short words for the glass. No Kivy."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchapp.events import Source
from benchapp.make.view_model import Forecast, LiveValue
from benchapp.make.waits import wait
from benchapp.screens.display.figures import Figures

if TYPE_CHECKING:
    from benchapp.record.journal import BatchLine

PLAIN = Figures()
_NUMBER_AND_UNIT = re.compile(r"(\d) (g|kg|ml|°C|%|min|s|h)(?=\W|$)")


def short_forecast(given: Forecast) -> str:
    """The same where there is room for half a line."""
    if given.early_s == given.late_s or math.isinf(given.late_s):
        return f"about {wait(given.middle_s)} more"
    return f"about {wait(given.middle_s)} more ({wait(given.early_s)} to {wait(given.late_s)})"


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


def source_line(live: LiveValue) -> str:
    """Where a value comes from: measured (by what, checked or not), stated or computed."""
    if live.source is Source.MEASURED:
        checked = "" if live.checked else ", not checked"
        return f"measured, {live.measured_by}{checked}" if live.measured_by else "measured"
    return "stated by you" if live.source is Source.STATED else "computed"


def short_source(live: LiveValue) -> str:
    """The same in a word or two; which device it was stands in "More"."""
    if live.source is Source.MEASURED:
        return "measured" if live.checked else "not checked"
    return "stated" if live.source is Source.STATED else "computed"


def batch_line(b: BatchLine, practised: str) -> str:
    """How a list shows it; ``practised`` says what scenario it rehearsed, "" where there was none."""
    if practised:
        return f"{b.batch}, practised: {practised}"
    end = b.end or "unfinished"
    return f"{b.batch}, {b.batch_g:g} g, {end}{', rehearsal' if b.rehearsal else ''}"


def step_kinds(kinds: Sequence[str]) -> str:
    """Kinds of step as they are written, not as files spell them."""
    return ", ".join(kind.replace(" ph", " pH") for kind in kinds)
