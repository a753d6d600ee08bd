"""The bench is the input: what a foot means at a moment, and how it stands in the record."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench, kinds

from benchapp import events as ev
from benchapp.make.hands_free import HELD_BY_PEDAL, distinct_choice, plain_choice
from benchapp.make.inputs import Grams, Hold, Pedal, PedalDown, Press, Resumed, Tick
from benchapp.make.view_model import ActView, Choice
from benchapp.make.vocabulary import ChoiceKey


def foot(bench, held=False, prompt=None, seconds=None):
    """Down and up again, or held; what came of both."""
    meant = bench.make.state.prompt if prompt is None else prompt
    bench.now += 0.5
    out = bench.give(PedalDown(bench.now, meant))
    bench.now += seconds if seconds is not None else 2.0 if held else 0.4
    return [*out, *bench.give(Pedal(bench.now, meant, held))]


@pytest.fixture
def at_start():
    return Bench()


def test_pressed_it_is_the_moments_plain_yes_and_the_record_says_it_was_the_pedal(at_start):
    while at_start.make.act().key == "cautions":
        foot(at_start, held=True)
    events = foot(at_start)
    (said,) = [e for e in events if isinstance(e, ev.Confirmed)]
    assert said.how == "pedal"
    assert "ActFinished" in kinds(events)


def test_by_hand_it_says_nothing_of_how(at_start):
    while at_start.make.act().key == "cautions":
        foot(at_start, held=True)
    (said,) = [e for e in at_start.press("yes") if isinstance(e, ev.Confirmed)]
    assert said.how == ""


def test_what_stood_there_when_it_went_down_is_what_it_answers(at_start):
    before = at_start.make.state.prompt
    foot(at_start, held=True)
    assert at_start.make.state.prompt != before
    assert foot(at_start, prompt=before) == []


def test_a_serious_caution_wants_it_held(at_start):
    at_start.to("06-heat")
    assert any(c.serious for c in at_start.view.act_view.cautions), "hot liquid, at least"
    assert foot(at_start) == []
    events = foot(at_start, held=True)
    said = [e for e in events if isinstance(e, ev.CautionAcknowledged)]
    assert said
    assert {e.how for e in said} == {"pedal"}


def test_held_anywhere_else_it_is_hold_and_held_again_resume(at_start):
    at_start.to("02-weigh")
    at_start.stand(0.0)
    (held,) = foot(at_start, held=True)
    assert isinstance(held, ev.MakeHeld)
    assert held.reason == HELD_BY_PEDAL
    assert "HoldEnded" in kinds(foot(at_start, held=True))
    assert at_start.make.state.held_since_s is None


def test_held_over_a_view_that_has_gone_it_still_means_hold(at_start):
    """A hold costs nothing and somebody wants to go away; what it would have answered is gone."""
    at_start.to("06-heat")
    stale = "earlier/act#0"
    assert kinds(foot(at_start, held=True, prompt=stale)) == ["MakeHeld"]


def test_a_hold_by_hand_ends_by_a_short_press(at_start):
    at_start.give(Hold(at_start.now, ""))
    assert "HoldEnded" in kinds(foot(at_start))


FACES = {
    "a plain yes beside a serious way out": ((Choice(ChoiceKey.YES, ""), Choice(ChoiceKey.DIFFERENT, "", True, True)), "yes", None),
    "another lot beside the one that is offered": ((Choice(ChoiceKey.YES, ""), Choice(ChoiceKey.LOT, "", True, of="W6")), "yes", None),
    "an over-pour": ((Choice(ChoiceKey.REMOVE, "", True), Choice(ChoiceKey.ACCEPT, "", True, True)), None, None),
    "one serious choice": ((Choice(ChoiceKey.IT_IS, "", True),), None, "it is"),
    "two serious choices": ((Choice(ChoiceKey.HAD_BEGUN, "", True), Choice(ChoiceKey.FROM_HERE, "", True)), None, None),
    "a reason is wanted": ((Choice(ChoiceKey.ACCEPT, "", True, True),), None, None),
    "a signature is wanted": ((Choice(ChoiceKey.SIGN, "", True, sign="made as recorded"),), None, None),
    "the maker's own name, where nobody is enrolled": ((Choice(ChoiceKey.SIGN, "", True),), None, None),
    "going on without weighing": ((Choice(ChoiceKey.NOT_WEIGHED, "", True),), None, None),
    "the last container": ((Choice(ChoiceKey.LAST, "", True),), None, None),
    "nothing to say": ((), None, None),
}  # fmt: skip


@pytest.mark.parametrize("name", FACES)
def test_what_a_foot_may_answer(name):
    choices, short, held = FACES[name]
    act_view = ActView("…", choices=choices)
    found = plain_choice(act_view), distinct_choice(act_view)
    assert tuple(c.word if c else None for c in found) == (short, held)


def test_a_press_by_hand_and_one_by_foot_bring_about_the_same(at_start):
    """Nothing but the word how differs."""
    other = Bench()
    for bench in (at_start, other):
        bench.to("02-weigh")
        bench.stand(0.0)
        bench.place(420.0)
    at_start.now += 1.0
    by_hand = at_start.give(Press(at_start.now, at_start.make.state.prompt, "yes"))
    other.now += 1.0
    other.give(PedalDown(other.now, other.make.state.prompt))
    by_foot = other.give(Pedal(other.now, other.make.state.prompt, False))
    assert kinds(by_hand) == kinds(by_foot)


def test_a_foot_on_a_finished_view_of_a_quiet_bench_says_nothing(at_start):
    at_start.to("06-heat")
    foot(at_start, held=True)
    at_start.to_the_heat()
    assert at_start.make.act().key == "heat"
    at_start.give(Tick(at_start.now + 1.0))
    assert foot(at_start) == []


# --- a push on an empty pan ------------------------------------------------------------------------------


def push_three_times(bench, device="big", grams=300.0, gap_s=0.4, every_s=0.1):
    """Three humps on an otherwise empty pan, ten readings a second; what came of it."""
    push = [0.5, 1.0, 0.5] + [0.0] * int(gap_s * 10)
    shape = [0.0] * 10 + push * 3 + [0.0] * 15
    out = []
    for share in shape:
        bench.now = round(bench.now + every_s, 3)
        out += bench.give(Grams(bench.now, device, share * grams, None, False))
    return out


@pytest.fixture
def asking():
    """The step that asks whether the bench is ready: no scale is used."""
    bench = Bench()
    bench.press("understood")
    return bench


def test_three_pushes_on_the_empty_pan_say_the_plain_yes(asking):
    (said,) = [e for e in push_three_times(asking) if isinstance(e, ev.Confirmed)]
    assert said.how == "pan"


def test_two_pushes_or_a_vessel_says_nothing(asking):
    for grams in [0.0] * 10 + [150.0, 300.0, 150.0, 0.0] * 2 + [0.0] * 30 + [420.0] * 30 + [0.0] * 30:
        asking.now = round(asking.now + 0.1, 3)
        assert asking.give(Grams(asking.now, "big", grams, None, False)) == []


def test_a_fine_scale_is_never_pushed(asking):
    assert push_three_times(asking, "fine", grams=150.0) == []


def test_a_slow_scale_is_not_listened_to(asking):
    """Five readings a second, through the very same pushes."""
    assert push_three_times(asking, every_s=0.2) == []


def test_a_scale_that_is_being_used_is_not_a_button(asking):
    asking.to("02-weigh")
    asking.stand(0.0)
    assert not [e for e in push_three_times(asking) if isinstance(e, ev.Confirmed | ev.ActFinished)]


def test_what_was_asked_when_the_first_push_began_is_what_it_answers(asking):
    push = [150.0, 300.0, 150.0]
    shape = [0.0] * 10 + (push + [0.0] * 4) * 2 + push
    for grams in shape:
        asking.now = round(asking.now + 0.1, 3)
        asking.give(Grams(asking.now, "big", grams, None, False))
    asking.press("yes")  # by hand, in the midst of it
    for _ in range(15):
        asking.now = round(asking.now + 0.1, 3)
        assert asking.give(Grams(asking.now, "big", 0.0, None, False)) == []


def test_it_never_reads_a_caution(asking):
    asking.to("06-heat")
    assert any(c.serious for c in asking.view.act_view.cautions)
    assert push_three_times(asking) == []


def test_nobody_is_there_while_on_hold(asking):
    asking.give(Hold(asking.now, ""))
    assert push_three_times(asking) == []


# --- two seconds to object --------------------------------------------------------------------------------


@pytest.fixture
def nearly():
    """The water has come to rest in its band a second ago; it will be taken in another."""
    bench = Bench()
    bench.at_the_first_pour()
    assert bench.view.act_view.taking is None
    bench.stand(796.0, seconds=1.5)
    assert not weights(bench)
    return bench


def weights(bench):
    return [e for e in bench.events if isinstance(e, ev.WeightTaken)]


def test_it_is_said_how_soon_it_will_be_taken(nearly):
    before = nearly.view.act_view.taking
    assert 0.3 < before < 0.7
    assert nearly.view.act_view.not_yet == ("Taking it.",)
    nearly.stand(796.0, seconds=0.5)
    assert nearly.view.act_view.taking > before
    nearly.stand(796.0, seconds=1.0)
    assert weights(nearly)
    assert nearly.view.act_view.taking is None


def test_the_foot_objects_as_it_comes_down(nearly):
    assert nearly.give(PedalDown(nearly.now, nearly.make.state.prompt)) == []
    nearly.stand(796.0, seconds=6.0)
    assert not weights(nearly)
    assert nearly.give(Pedal(nearly.now, nearly.make.state.prompt, False)) == [], "letting go is no yes"
    nearly.stand(796.0, seconds=6.0)
    assert not weights(nearly)
    assert nearly.view.act_view.taking is None


def test_pressed_again_it_is_taken(nearly):
    foot(nearly)
    nearly.stand(796.0, seconds=3.0)
    foot(nearly)
    assert [w.net_g for w in weights(nearly)] == [376.0]


def test_pouring_on_objects_and_what_then_rests_is_taken_by_itself(nearly):
    foot(nearly)
    nearly.stand(797.0, seconds=4.0)
    assert [w.net_g for w in weights(nearly)] == [377.0]


def test_lifting_objects(nearly):
    nearly.stand(0.0, seconds=6.0)
    assert not weights(nearly)
    nearly.stand(796.0, seconds=6.0)
    assert [w.net_g for w in weights(nearly)] == [376.0]


def test_a_hold_objects_too(nearly):
    foot(nearly, held=True)
    assert nearly.make.state.held_since_s is not None
    nearly.stand(796.0, seconds=6.0)
    assert not weights(nearly)


def test_a_container_is_objected_to_as_well():
    bench = Bench()
    bench.to("17-fill")
    bench.stand(0.0)
    bench.place(18.0)
    full = 18.0 + bench.view.act_view.picture.target_g
    bench.stand(full, seconds=1.5)
    assert bench.view.act_view.taking is not None
    foot(bench)
    bench.stand(full, seconds=6.0)
    assert not [e for e in bench.events if isinstance(e, ev.BottleFilled)]
    foot(bench)
    assert len([e for e in bench.events if isinstance(e, ev.BottleFilled)]) == 1


def test_an_objection_is_forgotten_by_a_restart_and_the_two_seconds_begin_anew(nearly):
    foot(nearly)
    nearly.give(Resumed(nearly.now, 5.0))
    assert not any(s.objected for s in nearly.make.watch.scales.values())


def test_whoever_objected_is_not_told_to_keep_the_hands_off(nearly):
    """The weight is good and may be poured on: order, move and reason say the same."""
    nearly.press("wait")
    face = nearly.view.act_view
    assert face.live[0].word == "in band"
    assert face.not_yet == ("Not taken: pour on, or take it as it is.",)
    assert "hands off" not in face.instruction
    assert face.instruction.startswith("Pour ")
    assert face.move == "Pour on"
    assert [c.word for c in face.choices] == ["take"]
