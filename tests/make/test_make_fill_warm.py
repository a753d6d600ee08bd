"""What is filled while it is warm: the gate before it, the watch over it, and the two ways on once it has cooled."""

from __future__ import annotations

import pytest
from bench_by_hand import SCALES, Bench
from procedure_edits import edited

from benchapp import events as ev
from benchapp.make.alarms import alarms
from benchapp.make.inputs import Degrees, NoNumber, Tick, TypeValue
from procedures.cautions import cautions_for
from procedures.reading import read_text
from procedures.walk import bench_at

LIMITS = 'above = "56 degC" # below, it sets with a hole in the middle\nbelow = "66 degC"\n'


def at_the_first_tin(devices=SCALES, **limits):
    """The balm, all of it in its pot, before it is known how warm it is."""
    written = "".join(f'{name} = "{c} degC"\n' for name, c in limits.items()) or LIMITS
    procedure = read_text(edited("sand-bar-balm", (LIMITS, written))).procedure
    bench = Bench(devices, procedure, procedure.default_batch_g)
    bench.weigh_everything("fat-pot")
    bench.jump(next(s.key for s in procedure.steps if s.kind == "fill"))
    bench.give(Tick(bench.now))
    bench.press("understood")
    if bench.make.act().key.startswith("probe"):
        bench.press("yes")
    return bench


def read(bench, temp_c, seconds=15):
    out = []
    for _ in range(seconds):
        bench.now += 1.0
        out += bench.give(Degrees(bench.now, "thermo", "probe 1", temp_c))
    return out


@pytest.fixture
def filling():
    """64 °C, two tins filled."""
    bench = at_the_first_tin()
    read(bench, 64.0)
    bench.press("yes")
    tin(bench)
    tin(bench)
    return bench


def tin(bench, net_g=50.2):
    for grams in (0.0, 18.0, 18.0 + net_g, 0.0):
        bench.stand(grams)


def kinds(bench):
    return [d.kind for d in noted(bench)]


def noted(bench):
    return [d for d in bench.make.state.deviations if not d.kind.startswith("unchecked")]


def test_it_is_not_begun_before_it_is_warm_enough():
    bench = at_the_first_tin()
    read(bench, 54.0)
    assert bench.view.act_view.not_yet == ("fat pot: 54.0 °C, has to be at least 56 °C.",)
    assert bench.press("yes") == []
    for temp_c in (54.5, 55.0, 55.5, 56.0, 56.5):
        read(bench, temp_c)
    bench.press("yes")
    bench.stand(0.0)
    assert bench.view.act_view.instruction == "Soon too cool. Put empty tin 1 on the big."


def test_begun_too_cool_all_the_same_it_is_a_deviation_and_nothing_more_is_asked():
    bench = at_the_first_tin()
    read(bench, 54.0)
    bench.press("anyway", "the tins are warm")
    bench.stand(0.0)
    read(bench, 50.0, 30)
    assert kinds(bench) == ["filled out of band"]
    assert noted(bench)[0].grade is ev.Grade.MINOR
    assert bench.view.act_view.instruction.endswith("Put empty tin 1 on the big.")


def test_how_warm_it_is_stands_beside_the_tin_and_is_written_down(filling):
    read(filling, 63.0, 90)
    (warmth,) = filling.view.act_view.live
    assert (warmth.value, warmth.word) == (63.0, "in band"), "nothing is on the scale"
    filling.stand(18.0)
    read(filling, 63.0, 2)
    filling.rest(18.0, 0.5)
    scale, warmth = filling.view.act_view.live
    assert (scale.unit, scale.value, warmth.value) == ("g", 0.0, 63.0)
    logged = [e for e in filling.events if isinstance(e, ev.TemperaturesLogged)]
    assert logged[-1].temps_c == (("fat-pot", 63.0),)


def test_it_is_told_before_it_is_too_cool(filling):
    read(filling, 57.5)
    view = filling.view.act_view
    assert view.instruction == "Soon too cool. Put empty tin 3 on the big."
    assert any("below 56 °C" in why for why in view.not_yet)
    assert kinds(filling) == []


def test_too_cool_it_is_noted_and_asked_before_the_next_tin(filling):
    read(filling, 55.5)
    assert kinds(filling) == ["cooled while filling"]
    assert noted(filling)[0].text == ("fat pot: 55.5 °C after 2 filled, has to be at least 56 °C.")
    view = filling.view.act_view
    assert (view.instruction, view.note) == ("Warm the fat pot again.", "Not above 66 °C.")
    assert [c.word for c in view.choices] == ["anyway", "last"]
    filling.stand(18.0)
    assert filling.view.act_view.instruction == "Warm the fat pot again.", "no tin is begun meanwhile"


def test_warmed_again_it_goes_on_where_it_was(filling):
    read(filling, 55.5)
    read(filling, 60.0)
    assert filling.view.act_view.instruction == "The fat pot can be filled again."
    filling.press("yes")
    tin(filling)
    assert len(filling.make.state.bottles[filling.make.state.step]) == 3
    assert kinds(filling) == ["cooled while filling"]


def test_cooled_with_nothing_left_it_ends_there(filling):
    read(filling, 55.5)
    filling.press("last")
    assert len(filling.make.state.bottles["07-fill"]) == 2
    assert filling.view.act_view.instruction.startswith("Keep 1 tin back")


def test_filled_on_with_a_reason_it_says_so(filling):
    read(filling, 55.5)
    assert filling.press("anyway") == []
    filling.press("anyway", "one tin is left")
    tin(filling)
    read(filling, 54.0)
    assert kinds(filling) == ["cooled while filling", "filled out of band"]
    assert noted(filling)[1].text.endswith("Filled on: one tin is left")


def test_a_tin_that_is_begun_is_filled_first(filling):
    filling.stand(18.0)
    read(filling, 55.5)
    filling.rest(18.0, 0.5)
    assert filling.view.act_view.instruction == "Too cool after this one. Fill tin 3 to 50.2 g."
    filling.stand(68.2)
    filling.stand(0.0)
    read(filling, 55.5)
    assert filling.view.act_view.instruction == "Warm the fat pot again."
    assert "after 3 filled" in noted(filling)[0].text


def test_one_cold_reading_is_no_cooling(filling):
    read(filling, 55.5, 3)
    read(filling, 60.0)
    assert kinds(filling) == []


def test_without_a_probe_it_is_asked_and_asked_again():
    bench = at_the_first_tin(SCALES[:2])
    assert bench.view.act_view.ask.usual
    bench.give(TypeValue(bench.now, bench.make.state.prompt, 63.0))
    bench.press("yes")
    tin(bench)
    bench.stand(0.0, 310.0)
    assert bench.view.act_view.instruction == "How warm is the fat pot?"
    bench.give(TypeValue(bench.now, bench.make.state.prompt, 54.0))
    assert bench.view.act_view.instruction == "Warm the fat pot again."
    bench.give(TypeValue(bench.now, bench.make.state.prompt, 59.0))
    bench.press("yes")
    bench.stand(0.0)
    assert bench.view.act_view.instruction == "Put empty tin 2 on the big."


def test_it_is_never_warmed_above_what_is_in_it_bears():
    bench = at_the_first_tin(above=56)
    assert bench.make.act().band.high == 66.0, "what the lavender oil bears"


def test_a_probe_without_a_number_is_an_alarm_while_it_is_watched(filling):
    silent = NoNumber(filling.now, "thermo", "probe 1", "open probe", "probe 1 is open.", False)
    assert [e.kind for e in alarms(filling.make.context(), filling.make.act(), silent)] == ["probe"]


def test_warm_enough_to_hurt_is_said_and_acknowledged():
    procedure = read_text(edited("sand-bar-balm")).procedure
    fill = next(s for s in procedure.steps if s.kind == "fill")
    (hot,) = [c for c in cautions_for(fill, procedure) if c.key == "hot liquid"]
    assert (hot.serious, hot.text.startswith("Up to 66 °C")) == (True, True)


def test_the_sentence_names_both_limits():
    procedure = read_text(edited("sand-bar-balm")).procedure
    bench = at_the_first_tin()
    fill = next(s for s in procedure.steps if s.kind == "fill")
    assert "while it is above 56 °C and below 66 °C" in fill.sentence(bench_at(fill, procedure))
    assert bench.make.plan.declared[fill.key].limits.low == 56.0


def test_where_the_probe_is_broken_it_is_asked_once_the_alarm_is_seen_to(filling):
    """Also where another probe of the same thermometer reads on."""
    for _ in range(10):
        filling.now += 1.0
        filling.give(NoNumber(filling.now, "thermo", "probe 1", "open probe", "probe 1 is open.", False))
        filling.give(Degrees(filling.now, "thermo", "probe 2", 21.0))
        filling.press("seen to")
    filling.rest(0.0, 1.0)
    assert filling.view.act_view.instruction == "How warm is the fat pot?"


def test_where_the_thermometer_is_lost_it_is_asked_as_without_a_probe(filling):
    """Tin after tin was filled, and nobody was asked how warm it was."""
    filling.give(NoNumber(filling.now + 1.0, "thermo", None, "unplugged", "thermo went away.", True))
    filling.rest(0.0, 1.0)
    assert filling.view.act_view.instruction == "How warm is the fat pot?"
    assert filling.view.act_view.choices[0].word == "anyway"
    filling.give(TypeValue(filling.now, filling.make.state.prompt, 63.0))
    assert filling.view.act_view.choices[0].word == "yes"
    filling.press("yes")
    tin(filling)
    filling.stand(0.0, 310.0)
    assert filling.view.act_view.instruction == "How warm is the fat pot?"
    filling.give(TypeValue(filling.now, filling.make.state.prompt, 62.0))
    filling.press("yes")
    tin(filling)
    assert len(filling.make.state.bottles[filling.make.state.step]) == 4
