"""Slips that must not become a value in the record: the wrong vessel, a hasty hand, a slip of the finger, a dead device."""

from __future__ import annotations

import pytest
from bench_by_hand import SCALES, Bench, kinds

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.inputs import Abandon, Grams, NoNumber, Press, Resumed, Skip, Tick, TypeValue
from benchapp.make.plan_making import make_plan
from procedures.reading import read_procedure
from procedures.shelf import find, shipped


@pytest.fixture
def pouring():
    """The water pot (420 g) stands on the big scale, and 100 g of water are in."""
    bench = Bench()
    bench.at_the_first_pour()
    bench.stand(520.0)
    return bench


def weights(bench):
    return [e for e in bench.events if isinstance(e, ev.WeightTaken)]


def test_another_vessel_that_happens_to_weigh_the_target_is_questioned(pouring):
    pouring.stand(0.0)
    pouring.stand(796.0, seconds=6.0)
    assert weights(pouring) == []
    assert "should weigh 520.0 g" in pouring.view.act_view.not_yet[0]


def test_the_same_vessel_comes_back_without_a_question(pouring):
    pouring.stand(0.0)
    assert "VesselReturned" in kinds(pouring.stand(520.0))


def test_a_vessel_that_changed_while_the_scale_was_away_is_questioned(pouring):
    pouring.give(NoNumber(pouring.now + 1, "big", None, "unplugged", "big went away.", True))
    pouring.stand(0.0)
    pouring.press("pan is empty")
    pouring.stand(796.0)
    assert weights(pouring) == []
    assert {c.word for c in pouring.view.act_view.choices} >= {"poured on", "tool", "unknown", "look again"}
    pouring.press("poured on")
    pouring.stand(796.0)
    (taken,) = weights(pouring)
    assert taken.net_g == pytest.approx(376.0)
    assert "poured unseen" in [d.kind for d in pouring.make.state.deviations]


def test_a_pan_wrongly_said_to_be_empty_can_be_looked_at_again(pouring):
    pouring.give(NoNumber(pouring.now + 1, "big", None, "unplugged", "big went away.", True))
    pouring.stand(0.0)  # it zeroed on the full pot
    pouring.press("pan is empty")
    assert "ScaleDoubted" in kinds(pouring.stand(-520.0))
    pouring.stand(0.0)  # its zero key
    pouring.press("pan is empty")
    assert "ScaleReconciled" in kinds(pouring.stand(520.0))


def test_a_zero_is_set_before_it_is_seen_so_that_one_display_never_stands_for_two_things(pouring):
    """Left at -520 g, the display would show 0.0 both for the pot and, once somebody pressed the key, for the empty pan."""
    pouring.stand(0.0)
    pouring.stand(-520.0)
    assert pouring.view.act_view.choices == ()
    assert "zero or tare key" in pouring.view.act_view.not_yet[0]
    assert kinds(pouring.press("pan is empty")) == []
    pouring.stand(0.0)
    assert [c.word for c in pouring.view.act_view.choices] == ["pan is empty"]


@pytest.mark.parametrize("place", [lambda b: b.to("02-weigh"), lambda b: b.at_the_first_pour()])
def test_a_tare_is_said_wherever_the_scale_is_waited_for(place):
    bench = Bench()
    place(bench)
    for net in (False, True):
        bench.give(Grams(bench.now + 1, "big", 0.0, stable=True, net=net))
    assert [x for x in bench.view.act_view.not_yet if "a tare is on" in x] != []


def test_what_was_poured_before_it_was_asked_for_is_counted():
    bench = Bench()
    bench.to("02-weigh")
    bench.stand(0.0)
    bench.place(420.0)
    bench.stand(435.0)  # pours while the label is still being read back
    bench.press("yes")
    bench.stand(435.0)
    assert "had begun" in {c.word for c in bench.view.act_view.choices}
    bench.press("had begun")
    bench.stand(796.0)
    (taken,) = weights(bench)
    assert taken.net_g == pytest.approx(376.0)


@pytest.mark.parametrize("end", [Skip, Abandon])
@pytest.mark.parametrize("lifted", [False, True])
def test_what_is_in_when_it_is_left_in_the_middle_is_booked(pouring, end, lifted):
    """100 g of water were in the pot, and on no book: not the pot's, nor its lot's."""
    if lifted:
        pouring.stand(0.0)
    prompt = (pouring.make.state.prompt,) if end is Skip else ()
    pouring.give(end(pouring.now, *prompt, "the tap is broken"))
    (taken,) = weights(pouring)
    assert (taken.net_g, taken.source) == (pytest.approx(100.0), ev.Source.MEASURED)
    assert pouring.make.state.ledger.of("water-pot").content_g == pytest.approx(100.0)
    assert "weight out of band" in [d.kind for d in pouring.make.state.deviations]


def test_what_nobody_knows_is_not_booked_when_it_is_left(pouring):
    pouring.give(Resumed(pouring.now + 1.0, 1.0))  # the scale may stand on another zero
    pouring.stand(520.0)
    pouring.give(Skip(pouring.now, pouring.make.state.prompt, "the tap is broken"))
    assert weights(pouring) == []


def test_where_nothing_was_poured_yet_nothing_is_booked():
    bench = Bench()
    bench.at_the_first_pour()
    bench.give(Skip(bench.now, bench.make.state.prompt, "the tap is broken"))
    assert weights(bench) == []


def test_a_slip_of_the_finger_is_asked_about(pouring):
    pouring.give(TypeValue(pouring.now, pouring.make.state.prompt, 3.7))
    assert weights(pouring) == []
    assert pouring.view.act_view.instruction.startswith("3.7 g")
    pouring.press("type again")
    pouring.give(TypeValue(pouring.now, pouring.make.state.prompt, 376.0))
    (taken,) = weights(pouring)
    assert taken.net_g == 376.0


def test_a_weight_typed_far_off_wants_a_reason(pouring):
    pouring.give(TypeValue(pouring.now, pouring.make.state.prompt, 300.0))
    pouring.press("typed anyway")
    assert weights(pouring) == []
    pouring.press("typed anyway", "no more water")
    assert weights(pouring)[0].net_g == 300.0
    assert "weight out of band" in [d.kind for d in pouring.make.state.deviations]


@pytest.mark.parametrize("lost", [False, True])
def test_a_typed_pot_that_cannot_be_it_is_asked_for_once_more_also_with_the_scale_gone(lost):
    bench = Bench()
    bench.to("02-weigh")
    bench.stand(0.0)
    if lost:
        bench.give(NoNumber(bench.now + 1, "big", None, "unplugged", "big went away.", True))
    bench.give(TypeValue(bench.now, bench.make.state.prompt, 42.0))
    assert bench.view.act_view.instruction == "42 g for the water pot?"
    assert bench.view.act_view.not_yet == ("The water pot should weigh about 420 g empty, not 42.0 g.",)
    bench.press("type again")
    assert bench.make.state.ledger.of("water-pot").empty_g is None
    bench.give(TypeValue(bench.now, bench.make.state.prompt, 42.0))
    bench.press("typed anyway", "a smaller pot")
    assert bench.make.state.ledger.of("water-pot").empty_g == 42.0
    assert "vessel mass" in {d.kind for d in bench.make.state.deviations}


def test_a_weight_typed_far_off_is_asked_about_also_with_the_scale_gone(pouring):
    pouring.give(NoNumber(pouring.now + 1, "big", None, "unplugged", "big went away.", True))
    pouring.give(TypeValue(pouring.now, pouring.make.state.prompt, 900.0))
    assert pouring.view.act_view.instruction.startswith("900 g of ")
    assert pouring.view.trouble.kind == "device lost"


def test_what_is_typed_of_a_temperature_is_nowhere_called_measured():
    bench = Bench(devices=SCALES[:2])
    bench.to_the_heat()
    for _ in range(2):
        bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, 72.0))
    entered = [e for e in bench.events if isinstance(e, ev.BandEntered)]
    assert {e.source for e in entered} == {ev.Source.STATED}
    assert {e.vessel for e in entered} == {"water-pot", "oil-pot"}


def test_a_scale_that_says_why_it_has_no_number_is_heard(pouring):
    pouring.give(
        NoNumber(pouring.now + 0.1, "big", "mass", "wrong unit", "big: the number is in 'oz'.", False)
    )
    assert pouring.view.act_view.not_yet[0] == "big: the number is in 'oz'."
    assert pouring.make.context().still_g("big") is None
    assert "wrong unit: big" in [d.kind for d in pouring.make.state.deviations]


def test_a_tare_pressed_on_the_scale_is_said():
    bench = Bench()
    bench.to("02-weigh")
    bench.stand(0.0)
    bench.place(420.0)
    bench.press("yes")
    for _ in range(40):
        bench.now = round(bench.now + 0.1, 3)
        bench.give(Grams(bench.now, "big", 0.0, True, True))
    assert "tare is on" in bench.view.act_view.not_yet[0]
    assert weights(bench) == []


def test_nothing_a_bottle_can_hold_is_no_bottle():
    bench = Bench()
    bench.to("17-fill")
    bench.stand(0.0)
    bench.place(18.0)
    bench.stand(1398.0, seconds=6.0)
    assert not [e for e in bench.events if isinstance(e, ev.BottleFilled)]
    assert "more than a bottle holds" in bench.view.act_view.not_yet[0]
    bench.stand(18.0 + bench.view.act_view.picture.target_g)
    assert [e.number for e in bench.events if isinstance(e, ev.BottleFilled)] == [1]


@pytest.mark.parametrize("name", shipped())
def test_a_device_that_dies_for_good_never_ends_the_batch(name):
    """Every act with devices, all of them lost: something a person can say goes on, or the step can be left out."""
    procedure = read_procedure(find(name)).procedure
    make = Make(make_plan(procedure, procedure.default_batch_g, SCALES))
    for step, acts in make.agenda.acts.items():
        for act in acts:
            if not act.devices:
                continue
            bench = Bench(procedure=name)
            bench.jump(step)
            bench.commit([ev.ActFinished(at_s=0.0, step=step, act=a.key) for a in acts[: acts.index(act)]])
            bench.give(Tick(1.0))
            for device in act.devices:
                bench.give(NoNumber(2.0, device, None, "unplugged", f"{device} went away.", True))
            if bench.make.act() is None or bench.make.act().key != act.key:
                continue  # it passed by itself
            before = bench.make.state.prompt
            act_view = bench.view.act_view
            if act_view.ask is not None:
                bench.give(TypeValue(3.0, before, (act_view.ask.low + act_view.ask.high) / 2))
            for choice in act_view.choices:
                if bench.make.state.prompt == before:
                    bench.give(Press(3.0, before, choice.word, "a test"))
            moved = bench.make.state.prompt != before or len(bench.make.state.temps_c) > 0
            assert moved or bench.make.step_machine.may("skip"), f"{step}/{act.key}"


def test_far_too_much_typed_into_an_empty_pot_is_asked_for_and_taken_with_its_reason():
    """Worked out from the typed value: nothing has come to rest on a scale, and nothing else is weighed yet."""
    bench = Bench()
    bench.to("05-weigh")
    bench.stand(0.0)
    bench.place(300.0)
    bench.press("it is") if "it is" in [c.word for c in bench.view.act_view.choices] else None
    bench.press("yes")
    target = bench.view.act_view.picture.target_g
    bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, 3 * target))
    bench.press("typed anyway", "the bottle slipped")
    assert [w.net_g for w in weights(bench)] == [3 * target]
    assert bench.make.state.deviations[-1].grade is ev.Grade.MAJOR


@pytest.mark.parametrize("value", [-0.5, 60_000.0])
def test_what_cannot_be_meant_at_all_is_not_taken_whoever_types_it(pouring, value):
    ask = pouring.view.act_view.ask
    assert not ask.low <= value <= ask.high
    assert pouring.give(TypeValue(pouring.now + 1.0, pouring.make.state.prompt, value)) == []


def at_the_last_pour():
    """The water phase's last line, the vessel on the big scale."""
    bench = Bench()
    bench.at_the_first_pour()
    pot_g = 420.0 + bench.make.plan.weighings["purified-water"].target_g
    bench.stand(pot_g, 6.0)
    bench.press("yes")
    bench.rest(pot_g)
    assert bench.make.act().key == "pour chelator-solution"
    return bench


@pytest.mark.parametrize(
    "trouble",
    [
        lambda bench: bench.give(
            NoNumber(bench.now, "big", None, "unplugged", "The big scale went away.", True)
        ),
        lambda bench: bench.give(Resumed(bench.now, 60.0)),
    ],
    ids=["the scale is lost", "the scale is doubted"],
)
def test_the_last_weighing_of_a_step_typed_without_its_scale_ends_the_step(trouble):
    bench = at_the_last_pour()
    bench.now += 1.0
    trouble(bench)
    assert bench.view.trouble is not None
    bench.now += 1.0
    out = bench.give(
        TypeValue(bench.now, bench.make.state.prompt, bench.make.plan.weighings["chelator-solution"].target_g)
    )
    assert [type(e).__name__ for e in out if "Step" in type(e).__name__] == ["StepFinished", "StepBegan"]


def test_a_pan_that_was_seen_empty_holds_no_vessel_from_before():
    """The oil pot was the last on the scale; the program was away while both pots heated."""
    bench = Bench()
    bench.to("02-weigh")
    for key, empty_g, content_g, line in (
        ("water-pot", 420.0, 376.0, "purified-water"), ("oil-pot", 210.0, 35.0, "sunflower-oil"),
    ):  # fmt: skip
        bench.commit([
            ev.VesselPlaced(
                at_s=bench.now, step="02-weigh", vessel=key, device="big", gross_g=empty_g, empty=True,
                source=ev.Source.MEASURED,
            ),
            ev.WeightTaken(
                at_s=bench.now, step="02-weigh", act="pour", line=line, vessel=key, target_g=content_g, low_g=content_g - 1,
                high_g=content_g + 1, net_g=content_g, gross_g=None, source=ev.Source.MEASURED, device="big", checked=True,
            ),
        ])  # fmt: skip
    bench.jump("07-top-up")
    bench.stand(0.0, 0.2)
    while bench.make.act().key == "cautions":
        bench.press("understood")
    bench.commit([ev.ScaleDoubted(at_s=bench.now, device="big", why="nobody watched it for a while")])
    bench.stand(0.0)
    bench.press("pan is empty")
    bench.stand(796.0)
    assert bench.view.trouble is None
    assert bench.make.state.on_scale == {"big": "water-pot"}
    assert "oil pot" not in bench.view.act_view.instruction


@pytest.fixture
def at_the_top_up():
    """The only pot of a batch, 796 g with its water, stood on its scale before it was warmed (never above 45 °C)."""
    bench = Bench()
    bench.to("02-weigh")
    bench.stand(0.0)
    bench.place(420.0)
    bench.commit([
        ev.WeightTaken(
            at_s=bench.now, step="02-weigh", act="pour", line="purified-water", vessel="water-pot", target_g=376.0,
            low_g=375.0, high_g=377.0, net_g=376.0, gross_g=796.0, source=ev.Source.MEASURED, device="big", checked=True,
        ),
    ])  # fmt: skip
    bench.stand(796.0)
    bench.jump("07-top-up")
    bench.stand(796.0, 0.2)
    while bench.make.act().key == "cautions":
        bench.press("understood")
    return bench


def test_a_display_that_stood_still_is_not_taken_for_a_pot_that_lost_nothing(at_the_top_up):
    """It shows what it showed before: it hangs, or the pot never left."""
    bench = at_the_top_up
    bench.stand(796.0, 20.0)
    assert bench.make.act().key == "vessel"
    assert bench.view.act_view.instruction == "Take the water pot off the big, and put it back."
    bench.stand(0.0)
    bench.stand(796.0)
    assert bench.make.act() is None or bench.make.act().key != "vessel"


@pytest.mark.parametrize("lost", [False, True])
def test_what_a_typed_pot_lacks_has_gone_as_steam_like_what_a_measured_one_does(at_the_top_up, lost):
    """It was placed, what it lacked was on no book, and nothing was replaced."""
    bench = at_the_top_up
    if lost:
        bench.give(NoNumber(bench.now + 1, "big", None, "unplugged", "big went away.", True))
    out = bench.give(TypeValue(bench.now + 1, bench.make.state.prompt, 776.0))
    (steam,) = [e for e in out if isinstance(e, ev.WaterLost)]
    assert (steam.lost_g, steam.lines, steam.source) == (20.0, ("purified-water",), ev.Source.STATED)
    assert bench.make.state.ledger.of("water-pot").gross_g == pytest.approx(776.0)
    assert bench.make.act().key == "replace"
    assert bench.make.act().target(bench.make.context()).grams == 20.0


def test_what_a_pot_lost_that_was_only_warm_may_have_gone_as_steam_too(at_the_top_up):
    """A step that replaces what steamed off asked why the pot was lighter, and steam was no answer."""
    bench = at_the_top_up
    bench.stand(0.0)
    bench.stand(792.0)
    assert "gone as steam" in bench.view.act_view.not_yet[0]
    bench.press("it is")
    (lost,) = [e for e in bench.events if isinstance(e, ev.WaterLost)]
    assert lost.lost_g == pytest.approx(4.0)
