"""One view on a terminal: what it shows is what the plain lines and the glass say of the same view."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pytest
from rich.console import Console

from benchapp.calculations.until_done import UntilDone
from benchapp.foundation.catalogues import language_of
from benchapp.foundation.language import speaking
from benchapp.foundation.source import Source
from benchapp.make.view_model import Forecast, LiveValue, Trouble
from benchapp.make.vocabulary import TroubleKind
from benchapp.terminal.panel import draw


def shown(view) -> list[str]:
    out = io.StringIO()
    Console(file=out, width=1000, force_terminal=True, color_system=None).print(draw(view))
    return out.getvalue().splitlines()


def title(view) -> str:
    return shown(view)[0]


@pytest.fixture
def weighing(walked):
    """The moment of a whole make at which its second step is weighed."""
    return next(view for view in walked("oat-hand-lotion").moments if view.step_key == "02-weigh")


def test_how_long_still_stands_beside_the_step(weighing):
    by_four = replace(weighing, until_done=UntilDone(2400.0, 2850.0, 3300.0, 4))
    assert "2/19  Weigh the water phase  40–55 min more" in title(by_four)
    assert "at least " in title(replace(weighing, until_done=None)), "nobody made it before"


def test_beside_a_wait_that_is_foretold_one_time_stands(weighing):
    waits = replace(weighing.act_view, forecast=Forecast("at 70 °C", 240.0, 180.0, 320.0))
    assert "more" not in title(replace(weighing, act_view=waits))


def test_every_caution_keeps_its_first_aid(walked):
    """As on the glass; also those that are none of the serious ones, as for a cut while the blender is cleaned."""
    aids = set()
    for view in walked("oat-hand-lotion").moments:
        cautions = view.act_view.cautions or view.cautions
        lines = shown(view) if any(c.first_aid for c in cautions) else []
        for caution in cautions:
            if caution.first_aid:
                assert any(caution.first_aid in line for line in lines), (view.step_key, caution.key)
                aids.add(caution.serious)
    assert aids == {True, False}


def test_a_value_and_an_alarm_are_said_in_the_language_of_the_person(weighing):
    """Words that the view holds in English are looked up where they are drawn."""
    live = (
        LiveValue("temperature", 71.25, "°C", 2, Source.STATED, ""),
        LiveValue("water phase", 1.5, "g", 1, Source.MEASURED, "scale", checked=False),
    )
    act_view = replace(weighing.act_view, live=live)
    trouble = Trouble(TroubleKind.ALARM, "Alarm", "")
    with speaking(language_of("fr")):
        lines = "\n".join(shown(replace(weighing, act_view=act_view, trouble=trouble)))
    assert "ALARME" in lines
    assert re.search(r"température +71,25 °C  indiqué", lines)
    assert re.search(r"1,5 g  non vérifié", lines)
