"""Whole makes with a real finger's touches in a real window, over real ports of a simulated bench."""

from __future__ import annotations

import gc
import weakref

import pytest
from acting import recorded

from benchapp import events as ev
from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from drivers.simulated import DEFAULT_DEVICES

#: What holds a make, on the sheet that stops it.
HOLD = "I have to go away"


def pouring(line, beyond_g=2.0):
    def is_pouring(m):
        live = m.act_view.live
        return m.prompt.split("#")[0].endswith(f"pour {line}") and live and (live[0].value or 0) > beyond_g

    return is_pouring


def test_a_whole_make_by_touch_alone(pilot, journal):
    pilot.begin()
    pilot.until(lambda m: m.over)
    weighed = recorded(journal, ev.WeightTaken)
    assert len(weighed) >= 10
    assert all(w.low_g <= w.net_g <= w.high_g for w in weighed)
    assert recorded(journal, ev.BurstDone)
    assert recorded(journal, ev.CautionAcknowledged)
    assert recorded(journal, ev.PhTaken)[-1].in_band
    assert len(recorded(journal, ev.BottleFilled)) >= 4
    assert [s.who for s in recorded(journal, ev.Signed)] == ["Mara Lind"]
    assert len(recorded(journal, ev.MakeFinished)) == 1
    assert pilot.page.work.instruction.text.startswith("Finished: ")
    pilot.press("Back to the bench")
    assert "Make a batch" in pilot.presses()


def test_too_much_is_taken_out_again(pilot, journal):
    pilot.begin()
    over_pour(pilot, "glycerin", 26.0)
    pilot.until(lambda m: m.act_view.stage == "remedy")
    pilot.until(lambda m: m.step_key == "04-disperse")
    (chosen,) = recorded(journal, ev.RemedyChosen)
    assert chosen.remedy is ev.Remedy.REMOVE
    (glycerin,) = [w for w in recorded(journal, ev.WeightTaken) if w.line == "glycerin"]
    assert glycerin.low_g <= glycerin.net_g <= glycerin.high_g


def test_too_much_is_kept_for_a_reason(pilot, journal):
    pilot.begin()
    over_pour(pilot, "glycerin", 26.0)
    m = pilot.until(lambda m: m.act_view.stage == "remedy")
    pilot.press(next(c.label for c in m.act_view.choices if c.word == "accept"))
    pilot.give_reason()
    pilot.until(lambda m: m.step_key == "04-disperse")
    (chosen,) = recorded(journal, ev.RemedyChosen)
    assert chosen.remedy is ev.Remedy.ACCEPT
    assert chosen.reason == "Checked: lawful and safe on skin at this amount"


def test_the_formula_is_kept_by_making_more(pilot, journal):
    pilot.begin()
    over_pour(pilot, "chelator-solution", 1.1, beyond_g=0.2)  # and the hand pours on meanwhile
    m = pilot.until(lambda m: m.act_view.stage == "remedy")
    assert "keep" in [c.word for c in m.act_view.choices], m.act_view
    pilot.press(next(c.label for c in m.act_view.choices if c.word == "keep"))
    pilot.until(lambda m: m.step_key == "03-weigh")
    assert [e.remedy for e in recorded(journal, ev.RemedyChosen)] == [ev.Remedy.KEEP_FORMULA]
    (revised,) = recorded(journal, ev.TargetsRevised)
    assert revised.batch_g > 600.0
    water = sum(w.net_g for w in recorded(journal, ev.WeightTaken) if w.line == "purified-water")
    assert water > 450.0, "water went on top by touch too"


def over_pour(pilot, line, net_g, beyond_g=2.0):
    floor, runner = pilot.shop, pilot.shop.runner
    hands = runner._runner._rehearsal.hands

    def pour(view):
        missing = net_g - view.act_view.live[0].value
        floor.makes.simulated.world.pour_to(hands.stuff(line), view.act_view.want.vessel, missing)

    runner.when(pouring(line, beyond_g), pour)


def test_a_scale_unplugged_in_the_middle_of_a_pour(pilot, journal):
    pilot.begin()
    faults = pilot.shop.makes.simulated.faults
    pilot.shop.runner.when(pouring("purified-water"), lambda m: faults.unplug("bench scale"))
    m = pilot.until(lambda m: m.trouble is not None)
    assert m.trouble.kind == "device lost"
    assert pilot.page.header.trouble.text == "bench scale is lost"
    pilot.shop.runner.when(lambda m: True, lambda m: faults.replug("bench scale"))
    pilot.until(lambda m: m.step_key == "03-weigh")
    assert [e.device for e in recorded(journal, ev.DeviceReturned)] == ["bench scale"]


def test_hold_and_come_back(pilot, journal):
    pilot.begin()
    before = pilot.until(lambda m: m.step_key == "02-weigh")
    pilot.press("Stop")
    pilot.press(HOLD)
    pilot.until(lambda m: m.trouble is not None and m.trouble.kind == "held")
    pilot.shop.runner.heard(pilot.app.make.loop)  # a held make still takes what is said to it
    assert set(pilot.presses()) >= {"I am back", "More", "Lock"}
    pilot.press("Stop")
    assert HOLD not in pilot.presses()
    pilot.press("Back to the make")
    pilot.press("I am back")
    after = pilot.until(lambda m: m.trouble is None)
    assert after.step_key == before.step_key
    assert len(recorded(journal, ev.HoldEnded)) == 1


@pytest.mark.usefixtures("window")
def test_dropped_in_the_middle_and_gone_on_with_from_the_bench(journal):
    from pilot import Pilot

    first = Pilot(journal)
    first.begin()
    first.until(pouring("sunflower-oil"))
    first.close()  # nothing is said to the make: it simply ends there

    second = Pilot(journal, seed=2)
    try:
        second.press("Unfinished rehearsal, 500 g")
        second.until(lambda m: m.step_key == "06-heat")
        assert len(recorded(journal, ev.MakeResumed)) == 1
        oils = [w for w in recorded(journal, ev.WeightTaken) if w.line == "sunflower-oil"]
        assert len(oils) == 1
        assert oils[0].low_g <= oils[0].net_g <= oils[0].high_g
    finally:
        second.close()


def test_escape_and_f1_do_nothing(pilot):
    from kivy.core.window import Window

    pilot.begin()
    screen = pilot.page
    for key, scancode in ((27, 41), (282, 58)):  # Escape, F1
        Window.dispatch("on_key_down", key, scancode, "", [])
        Window.dispatch("on_keyboard", key, scancode, "", [])
        Window.dispatch("on_key_up", key, scancode)
        pilot.frame()
    assert pilot.page is screen
    assert pilot.app.make.loop is not None


def test_a_failing_callback_lands_on_the_safe_page_and_the_make_goes_on(pilot, journal):
    from kivy.clock import Clock

    pilot.begin()

    def fails(_):
        raise KeyError("made up for the test")

    Clock.schedule_once(fails)
    pilot.frame()
    pilot.frame()
    assert "Back to the make" in pilot.presses()
    written = [w.text for w in pilot.page.texts]
    assert written[0] == "The batch is saved."
    assert "KeyError" in written[1]
    pilot.press("Back to the make")
    pilot.until(lambda m: m.step_key == "02-weigh")


def test_confirming_twice_confirms_once(pilot, journal):
    """The second touch was meant for the moment that the first one ended."""
    pilot.begin()
    m = pilot.until(lambda m: m.step_key == "01-prepare" and "task 0" in m.prompt)
    pilot.presses()[m.act_view.choices[0].label].act()
    said = pilot.bar.act
    said()
    said()
    pilot.until(lambda n: n.prompt != m.prompt)
    assert (
        len([c for c in recorded(journal, ev.Confirmed) if f"{c.step}/{c.act}" == m.prompt.split("#")[0]])
        == 1
    )


def test_a_press_for_a_view_that_has_passed_presses_nothing(pilot):
    """The finger came down on one thing; when it lifts, another stands there."""
    from kivy.tests.common import UnitTestTouch

    pilot.begin()
    m = pilot.until(lambda m: m.step_key == "01-prepare" and "task 0" in m.prompt)
    target = pilot.presses()[m.act_view.choices[0].label]
    finger = UnitTestTouch(*target.center)
    finger.touch_down()
    pilot.app.make.input.press(m.prompt, m.act_view.choices[0].key)
    following = pilot.wait(lambda n: n.prompt != m.prompt)
    pilot.time.now += 0.1
    finger.touch_up()
    pilot.time.now += 0.3
    for _ in range(20):
        pilot.frame()
    assert pilot.view.prompt == following.prompt


def test_a_real_make_is_not_gone_on_with_on_simulated_devices(pilot, journal, lotion):
    """One touch on "Unfinished" where no bench file is known: it says what it wants, and nothing is recorded."""
    facts = [facts_of(d) for d in DEFAULT_DEVICES]
    begin(journal, BatchOrder(lotion, 500.0, facts, "Mara Lind", "real-1"), lambda: 1.0).close()
    before = journal.events("real-1")
    for words in ("Settings", "Back", "Unfinished, 500 g"):
        pilot.press(words)
    words = " ".join(w.text for w in pilot.app.navigator.page.walk() if getattr(w, "text", ""))
    assert "no bench file is known here" in words
    assert "benchapp screen --bench FILE" in words
    assert journal.events("real-1") == before


def test_a_page_that_is_gone_is_cleared_away_in_a_frame_that_has_nothing_to_show(pilot):
    pilot.begin()
    pilot.until(lambda m: "task 1" in m.prompt)
    pilot.frame()
    gone = [weakref.ref(press) for press in pilot.page.buttons]
    gc.disable()  # not by itself, in the middle of a pour
    try:
        pilot.shop.runner.awaited = lambda m: "task 2" in m.prompt  # the make stands still there
        pilot.until(lambda m: "task 2" in m.prompt)
        for _ in range(5):
            pilot.frame()
        assert gone
        assert not [ref for ref in gone if ref() is not None]
    finally:
        gc.enable()
        pilot.shop.runner.awaited = None
