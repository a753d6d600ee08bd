"""One view on a terminal: how long the make still takes stands beside its step, as it does on the glass."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from rich.console import Console

from benchapp.calculations.until_done import UntilDone
from benchapp.make.view_model import Forecast
from benchapp.terminal.panel import draw


def title(view) -> str:
    out = io.StringIO()
    Console(file=out, width=100, force_terminal=True, color_system=None).print(draw(view))
    return out.getvalue().splitlines()[0]


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
