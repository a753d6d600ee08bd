"""A wait that wants its maker back is heard once, in the middle of another weighing too."""

from __future__ import annotations

import dataclasses

import pytest
from test_voice_spoken import view

from benchapp.events import Source
from benchapp.make.view_model import Forecast, LiveValue, Meanwhile
from benchapp.make.waits import beside
from benchapp.voice.prompts import Prompts, key_of

POT = LiveValue("oil pot", 68.4, "°C", 1, Source.MEASURED, "probe 1")
QUIET = Meanwhile("Heat to 70–75 °C", (POT,), Forecast("at 70 °C", 240.0, 180.0, 320.0), "")
CALLING = dataclasses.replace(QUIET, calls="The oil pot is at 76.5 °C, too hot: turn its heat down now.")


def at(beside_it):
    return dataclasses.replace(view("Pour 5.00 g of panthenol."), meanwhile=beside_it)


@pytest.fixture
def prompts():
    heard = Prompts()
    heard.next(at(QUIET))
    return heard


def test_a_quiet_wait_is_not_spoken_of(prompts):
    assert prompts.next(at(dataclasses.replace(QUIET, live=()))) is None


def test_a_calling_one_is_said_at_once_and_only_once(prompts):
    said = prompts.next(at(CALLING))
    assert said.urgent
    assert (
        said.text
        == "The oil pot is at 76.5 degrees Celsius, too hot: turn its heat down now. Then finish this weighing."
    )
    warmer = dataclasses.replace(CALLING, calls="The oil pot is at 76.9 °C, too hot: turn its heat down now.")
    assert prompts.next(at(warmer)) is None


def test_what_was_being_said_before_it_called_is_stale():
    assert key_of(at(CALLING)) != key_of(at(QUIET))


@pytest.mark.parametrize(
    ("given", "line"),
    [
        (QUIET, "oil pot 68.4 °C; at 70 °C in about 4 min (3 min to 5 min)"),
        (dataclasses.replace(QUIET, forecast=None), "oil pot 68.4 °C"),
        (
            dataclasses.replace(QUIET, live=(dataclasses.replace(POT, value=None),), forecast=None),
            "oil pot –",
        ),
        (CALLING, "The oil pot is at 76.5 °C, too hot: turn its heat down now. Then finish this weighing."),
    ],
)
def test_in_one_line(given, line):
    assert beside(given) == line


def test_a_reading_that_comes_and_goes_at_the_edge_of_its_band_is_said_once():
    heard, pour, good = Prompts(), view("Pour 35.0 g of oil."), view("Oil is good: hands off.")
    assert [said and said.text for said in map(heard.next, (pour, good, pour, good, pour))] == [
        "Pour 35 grams of oil.", "Oil is good: hands off.", None, None, None,
    ]  # fmt: skip


def test_what_stopped_the_hand_is_said_each_time_and_what_follows_too():
    heard, pour = Prompts(), view("Pour 35.0 g of oil.")
    stop = dataclasses.replace(
        pour, act_view=dataclasses.replace(pour.act_view, instruction="Enough.", move="Enough")
    )
    assert [heard.next(x) is not None for x in (pour, stop, pour, stop, pour)] == [True] * 5
