"""A foot switch at the real window: keys down and up, what the glass asked when the foot came down."""

from __future__ import annotations

import pytest

from benchapp import events as ev

PAGE_DOWN, F13, SPACE = 281, 294, 32


@pytest.fixture
def pilot(pilot):
    pilot.begin()
    return pilot


def foot(pilot, seconds=0.4, key=PAGE_DOWN, repeats=0):
    """On the key for so long, frames drawn meanwhile."""
    from kivy.core.window import Window

    Window.dispatch("on_key_down", key, 0, "", [])
    for _ in range(repeats):
        Window.dispatch("on_key_down", key, 0, "", [])
    pilot.time.now += seconds
    pilot.frame()
    Window.dispatch("on_key_up", key, 0)
    pilot.time.now += 0.2
    pilot.shop.runner.go_on()


def read_to_the_end(pilot):
    while not pilot.page.pages.last:
        foot(pilot)


def said(pilot, kind):
    return [e for e in pilot.app.make.loop._runner.session.make.state.log if isinstance(e, kind)]


def test_held_it_acknowledges_the_caution_and_pressed_it_says_yes(pilot):
    read_to_the_end(pilot)
    foot(pilot, 2.1)
    pilot.wait(lambda m: not m.act_view.cautions)
    assert {e.how for e in said(pilot, ev.CautionAcknowledged)} == {"pedal"}
    before = pilot.view.prompt
    foot(pilot, repeats=5, key=F13)
    pilot.wait(lambda m: m.prompt != before)
    (confirmed,) = said(pilot, ev.Confirmed)
    assert confirmed.how == "pedal"


def test_no_other_key_says_anything(pilot):
    read_to_the_end(pilot)
    before = pilot.view.prompt
    foot(pilot, 2.1, SPACE)
    pilot.frame()
    assert pilot.view.prompt == before


def test_with_a_sheet_over_the_make_a_press_says_nothing(pilot):
    read_to_the_end(pilot)
    pilot.press("More")
    before = pilot.view.prompt
    foot(pilot)
    pilot.frame()
    assert pilot.view.prompt == before
    assert pilot.page.overlay is not None


def test_another_key_may_be_named(pilot):
    from benchapp.screens.input.pedal_keys import PedalKeys

    heard = PedalKeys(pilot.app.make, pilot.time, "f14")
    before = pilot.view.prompt
    read_to_the_end(pilot)
    foot(pilot, 2.1, key=295)
    heard.look()
    pilot.wait(lambda m: m.prompt != before)
    heard.let_go()
