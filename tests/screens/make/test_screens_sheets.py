"""Sheets over a make: what stays when the make moves on beneath them, and what they do to it."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest
from acting import recorded
from laid_out import CASES, NAMES, broken

from benchapp import events as ev
from benchapp.make.acts.lot import other_lot
from benchapp.make.view_model import Choice, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Verb

#: What holds a make, on the sheet that stops it.
HOLD = "I have to go away"


@pytest.fixture
def pilot(pilot):
    pilot.begin()
    return pilot


class RecordingMaker:
    """A maker who remembers what was said."""

    def __init__(self):
        self.said = []

    def __getattr__(self, name):
        return lambda *what: self.said.append((name, *what))


@pytest.fixture
def asking(window, views):
    """The make's screen at a moment that asks for a temperature, and what its maker says."""
    from benchapp.screens.display.sizes import TEN_INCH, Sizes
    from benchapp.screens.make.make_screen import MakeScreen

    view = next(m for name, m in views if " heat " in name and m.act_view.ask is not None)
    maker = RecordingMaker()
    screen = MakeScreen(Sizes.of(TEN_INCH), maker)
    screen.show(view)
    return screen, view, maker


def turned(view, **act_view):
    """The same act's next prompt."""
    return replace(view, prompt=view.prompt + "1", act_view=replace(view.act_view, **act_view))


def typed(screen, keys):
    for key in keys:
        screen.overlay._key(key)()


def test_what_was_typed_outlives_a_turn_that_asks_for_the_same_and_is_said_to_the_new_prompt(asking):
    screen, view, maker = asking
    screen.show_keypad()
    typed(screen, "71")
    after = turned(view)
    screen.show(after)
    typed(screen, ".5")
    screen.overlay.type_enter()
    assert maker.said == [], "picked, not said"
    assert screen.bar.what == "71.5 °C"
    screen.bar.act()
    assert maker.said == [("type_value", after.prompt, 71.5)]
    assert screen.overlay is None


@pytest.mark.parametrize(("fahrenheit", "low", "high"), [(False, "70", "75 °C"), (True, "158", "167 °F")])
def test_the_keypad_of_a_temperature_says_its_band_before_anything_is_typed(asking, fahrenheit, low, high):
    from benchapp.screens.display.figures import Figures
    from benchapp.screens.display.sizes import PANELS, Sizes
    from benchapp.screens.make.make_screen import MakeScreen

    _, view, maker = asking
    assert (view.act_view.ask.band.low, view.act_view.ask.band.high) == (70.0, 75.0)
    for panel in PANELS:
        screen = MakeScreen(Sizes.of(panel, False, Figures(fahrenheit=fahrenheit)), maker)
        screen.show(view)
        screen.show_keypad()
        pad = screen.overlay
        assert (pad.typed, pad.message.text) == ("", f"It should be {low} to {high}.")
        assert pad.message.opacity == 1.0
        assert 0 <= pad.message.y < pad.message.top <= panel.height


def test_a_value_no_longer_asked_for_closes_the_keypad_and_says_so(asking):
    screen, view, maker = asking
    screen.show_keypad()
    typed(screen, "71")
    screen.show(turned(view, ask=NumberRequest("pH", "pH", 0, 14, 2, True)))
    assert screen.overlay is None
    assert maker.said == []
    assert screen.work.text.why.text.startswith(f"Not used: 71 typed for the {view.act_view.ask.what}.")


def test_another_act_closes_the_keypad_even_where_it_asks_in_the_same_words(asking):
    screen, view, _ = asking
    screen.show_keypad()
    screen.show(replace(view, prompt="99-heat/other#500"))
    assert screen.overlay is None
    assert screen.notice == ""  # nothing had been typed


@pytest.mark.usefixtures("window")
def test_a_make_in_fahrenheit_and_commas_shows_no_celsius_and_types_back_to_it(views):
    from benchapp.screens.display.figures import Figures
    from benchapp.screens.display.sizes import TEN_INCH, Sizes
    from benchapp.screens.make.make_screen import MakeScreen

    maker = RecordingMaker()
    screen = MakeScreen(Sizes.of(TEN_INCH, False, Figures(comma=True, fahrenheit=True)), maker)
    cooling = [
        m for name, m in views if " cool " in name and m.act_view.ask is not None and m.act_view.live[0].value
    ]
    assert cooling
    for view in cooling:
        screen.show(view)
        live = view.act_view.live[0]
        assert screen.work.readouts.all[0].number.text == f"{live.value * 1.8 + 32:.1f}".replace(".", ",")
        shown = [
            screen.work.instruction.text,
            screen.work.text.why.text,
            screen.work.text.when.text,
            screen.work.text.note.text,
        ]
        assert not [text for text in shown if "°C" in text]
        assert f"{view.act_view.picture.below_c * 1.8 + 32:g}" in [
            words for words, *_ in screen.work.drawing.texts
        ]
    screen.show_keypad()
    typed(screen, "104")
    screen.overlay.type_enter()
    assert screen.bar.what == "104 °F"
    screen.bar.act()
    ((_, _, value),) = maker.said
    assert value == pytest.approx(40.0)


def test_the_lock_for_wiping_stays_whatever_the_make_comes_to(asking):
    screen, view, _ = asking
    screen.show_lock()
    lock = screen.overlay
    screen.show(replace(view, prompt="99-heat/other#500", step_key="99-heat"))
    assert screen.overlay is lock


def test_more_stays_within_a_step_and_closes_with_it(asking):
    screen, view, _ = asking
    screen.show_details()
    screen.show(turned(view))
    assert screen.overlay is not None
    screen.show(replace(view, prompt="99-heat/other#500", step_key="99-heat"))
    assert screen.overlay is None


def test_taking_back_something_else_than_was_shown_shows_it_first(asking):
    screen, view, maker = asking
    screen.show(replace(view, take_back="71 typed"))
    act = screen._taking_back("70 typed")
    act()
    assert maker.said == []
    assert screen.overlay is not None
    screen._taking_back("71 typed")()
    assert maker.said == []
    screen.bar.act()
    assert maker.said == [("take_back", view.prompt)]


@pytest.mark.usefixtures("window")
@pytest.mark.parametrize(("panel", "large"), CASES, ids=NAMES)
def test_whatever_can_be_said_stands_on_the_bar_in_full(views, panel, large):
    from benchapp.screens.display.sizes import Sizes
    from benchapp.screens.make.make_screen import MakeScreen
    from benchapp.screens.make.reason_sheets import ABANDON_REASONS, REASONS, SKIP_REASONS

    labels = {c.label for _, m in views for c in m.act_view.choices} | {"Hold", "Take back", "1234567 °C"}
    screen = MakeScreen(Sizes.of(panel, large), RecordingMaker())
    for label in (*labels, *REASONS, *SKIP_REASONS, *ABANDON_REASONS):
        screen.confirm(label, lambda: None)
        for share in (0.0, 0.5, 1.0):
            screen.bar.fill(share)
            assert screen.bar.caption.texture_size[1] <= screen.bar.height, label
            assert not broken(screen.bar.caption), label
    screen.cancel_confirm()


def test_a_touch_elsewhere_takes_the_bar_away_and_so_does_another_view(asking):
    screen, view, maker = asking
    screen.confirm("Hold", maker.hold)
    screen.show(turned(view))
    assert screen.bar is not None, "the same act offers the same"
    screen.on_touch_down(SimpleNamespace(pos=screen.bar.center, ud={}))
    assert screen.bar is not None
    screen.on_touch_down(SimpleNamespace(pos=(screen.bar.right + 50, screen.bar.top + 50), ud={}))
    assert screen.bar is None
    screen.confirm("Hold", maker.hold)
    screen.show(replace(view, prompt="99-heat/other#500"))
    assert screen.bar is None
    assert maker.said == []


@pytest.mark.parametrize(("panel", "large"), CASES, ids=NAMES)
def test_what_was_picked_is_gone_while_it_is_said_and_no_press_looks_out_from_under_the_band(
    window, views, panel, large
):
    from benchapp.screens.display.sizes import Sizes
    from benchapp.screens.make.make_screen import MakeScreen
    from benchapp.screens.widgets.button import TouchButton
    from benchapp.screens.widgets.text_label import TextLabel

    view = next(m for name, m in views if " prepare " in name and not m.act_view.cautions)
    screen = MakeScreen(Sizes.of(panel, large), RecordingMaker())
    screen.show(view)
    picked = next(x for x in screen.children if isinstance(x, TouchButton) and x.label == "Done")
    screen._touched = picked.center
    screen.confirm("Done", lambda: None)
    assert picked.opacity == 0.0
    screen.bar.fill(0.5)
    (band,) = (x for x in screen.bar.children if hasattr(x, "words"))
    presses = [
        x for x in screen.children if isinstance(x, TouchButton) and x is not screen.bar and x.opacity == 1.0
    ]
    assert not [x.label for x in presses if x.collide_widget(band)]
    lines = [x for x in screen.children if isinstance(x, TextLabel) and x.text and x.height]
    cut = [x for x in lines if x.collide_widget(band)]
    assert {x.opacity for x in cut} <= {0.0}, "no line is cut in half"
    burns = screen.work.text.bites
    assert not burns.text or burns.opacity == 1.0, "what burns is read while it is held"
    assert large or screen.work.instruction.opacity == 1.0, "and so is the order"
    if panel.width >= 1280:
        assert "Stop" in {x.label for x in presses}, "what stops the make stays in reach"
    screen.cancel_confirm()
    assert picked.opacity == 1.0
    assert {x.opacity for x in lines} == {1.0}


def test_the_bar_fills_while_it_is_held_and_ticks_once_when_it_is_full(pilot):
    from kivy.tests.common import UnitTestTouch

    from benchapp.screens.widgets.hold_to_confirm import HeldBand

    ticks = []
    pilot.app._touches._tick = lambda: ticks.append(1)
    pilot.until(lambda m: "task 0" in m.prompt)
    pilot.shop.runner.awaited = lambda m: True  # the make stands still
    pilot.press("Stop")
    pilot.touch(*pilot.presses()[HOLD].center)
    finger, shares, said = UnitTestTouch(*pilot.bar.center), [], []
    finger.touch_down()
    for _ in range(4):
        pilot.frame()
        shares.append(pilot.bar.share)
        band = next((w for w in pilot.bar.children if isinstance(w, HeldBand)), None)
        said.append("" if band is None else band.words)
        pilot.time.now += 0.1
    assert shares == pytest.approx([0.0, 0.4, 0.8, 1.0])
    assert said == ["", "Keep holding", "Keep holding", "Let go"]
    assert band.y >= pilot.bar.top or band.top <= pilot.bar.y, "no hand on the bar covers it"
    assert (band.x, band.width) == (0.0, pilot.page.width)
    assert pilot.bar.caption.text == f"Let go: {HOLD}"
    assert ticks == [1]
    finger.touch_up()
    pilot.time.now += 0.2
    pilot.frame()
    assert pilot.bar is None
    pilot.shop.runner.awaited = None
    pilot.until(lambda m: m.trouble is not None and m.trouble.kind == "held")


def test_a_step_is_left_out_for_a_picked_reason(pilot, journal):
    pilot.until(lambda m: m.step_key == "01-prepare" and m.act_view.choices and not m.act_view.cautions)
    pilot.press("Stop")
    pilot.press(next(words for words in pilot.presses() if words.startswith("Leave out this step")))
    pilot.press("Done already")
    pilot.until(lambda m: m.step_key == "02-weigh")
    (skipped,) = recorded(journal, ev.StepSkipped)
    assert (skipped.step, skipped.reason) == ("01-prepare", "Done already")
    assert recorded(journal, ev.DeviationNoted)


def test_a_batch_is_abandoned_for_a_picked_reason(pilot, journal):
    pilot.press("Stop")
    pilot.press("Abandon the whole batch")
    pilot.press("Spilt or contaminated")
    pilot.until(lambda m: m.over)
    (abandoned,) = recorded(journal, ev.MakeAbandoned)
    assert abandoned.reason == "Spilt or contaminated"
    assert pilot.presses().keys() == {"Back to the bench"}


def test_a_confirmation_is_taken_back_by_touch(pilot, journal):
    pilot.until(lambda m: m.take_back)
    before = pilot.view
    pilot.press("More")
    told = [w.text for w in pilot.page.overlay.lines]
    assert told[told.index("Can be taken back") + 1] == before.take_back
    pilot.press("Take back")
    after = pilot.until(lambda m: m.prompt != before.prompt)
    assert len(recorded(journal, ev.ActTakenBack)) == 1
    assert after.step_number <= before.step_number


def test_where_no_scale_sends_anything_the_keypad_opens_by_itself_empty_with_point_and_band(window, views):
    from benchapp.screens.display.figures import Figures
    from benchapp.screens.display.sizes import TEN_INCH, Sizes
    from benchapp.screens.make.make_screen import MakeScreen

    view = next(m for name, m in views if m.act_view.ask and m.act_view.ask.band and not m.act_view.choices)
    ask = replace(view.act_view.ask, usual=True, decimals=2)
    by_hand = replace(view.act_view, ask=ask, want=Want(Verb.TYPE, amount=99.9), live=(), cautions=())
    view = replace(view, act_view=by_hand, trouble=None)
    maker = RecordingMaker()
    comma = Figures(comma=True)
    screen = MakeScreen(Sizes.of(TEN_INCH, False, comma), maker)
    screen.show(view)
    pad = screen.overlay
    assert (pad.typed, pad.value.text) == ("", "–,–– g"), "nothing of the target"
    assert pad.what.text == comma.text(view.act_view.instruction)
    assert pad.message.text == comma.text(f"It should be {ask.band.low:g} to {ask.band.high:g} g.")
    pad.type_enter()
    assert (pad.message.text, maker.said) == ("Type a number first.", [])
    screen.close_overlay()
    screen.show(view)
    assert screen.overlay is None, "put away, it stays away until something else is asked for"
    screen.show(
        replace(view, act_view=replace(by_hand, instruction="Another line."), prompt="99-weigh/other#1")
    )
    assert screen.overlay.what.text == "Another line."


def test_where_anything_else_may_be_said_the_keypad_waits_to_be_called(window, views):
    from benchapp.screens.display.sizes import TEN_INCH, Sizes
    from benchapp.screens.make.make_screen import MakeScreen

    screen = MakeScreen(Sizes.of(TEN_INCH), RecordingMaker())
    for _, view in views:
        screen.show(view)
        assert screen.overlay is None, view.prompt


@pytest.fixture
def running_out(window, views):
    """A pour of which another lot could be opened."""
    from benchapp.screens.display.sizes import TEN_INCH, Sizes
    from benchapp.screens.make.make_screen import MakeScreen

    less = Choice(ChoiceKey.ACCEPT_LESS, "It ran out", serious=True, reason=True)
    view = next(m for name, m in views if " weigh pour " in name and "below" in name)
    view = turned(view, choices=(other_lot(), less))
    maker = RecordingMaker()
    screen = MakeScreen(Sizes.of(TEN_INCH), maker)
    screen.show(view)
    return screen, view, maker


def pressed(widget, label):
    next(x for x in widget.children if getattr(x, "label", "") == label).act()


def test_another_lot_is_asked_for_behind_it_ran_out(running_out):
    screen, view, maker = running_out
    assert [x.label for x in screen.buttons].count("It ran out") == 1
    assert "Another lot" not in [x.label for x in screen.buttons]
    pressed(screen, "It ran out")
    pressed(screen.overlay, "Another lot")
    assert maker.said == [], "picked, not said"
    screen.bar.act()
    assert maker.said == [("press", view.prompt, "others")]


def test_left_at_less_it_still_asks_why(running_out):
    screen, view, maker = running_out
    pressed(screen, "It ran out")
    pressed(screen.overlay, "Leave it at less")
    pressed(screen.overlay, "Stock ran out")
    screen.bar.act()
    assert maker.said == [("press", view.prompt, "accept less", "Stock ran out")]


def test_where_there_is_no_other_lot_it_asks_why_at_once(running_out):
    screen, view, _ = running_out
    screen.show(turned(view, choices=view.act_view.choices[1:]))
    pressed(screen, "It ran out")
    assert "Stock ran out" in [getattr(x, "label", "") for x in screen.overlay.children]
