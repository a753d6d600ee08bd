"""What goes in slowly or in portions: by the clock from vessel to vessel, by the scale where the vessel stands on it."""

from __future__ import annotations

import pytest
from bench_by_hand import SCALES, Bench
from procedure_edits import drop, edited

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.inputs import Hold, Resumed, Tick, TypeValue
from benchapp.make.vocabulary import ChoiceKey
from procedures.errors import ProcedureInvalid
from procedures.reading import read_text
from procedures.walk import bench_at

POUR = 'pour = "first boat"\n'
ALONE = ('any_order = "the two boats" # whichever the bench is ready for\n', "")
TOLERANT = (
    'material = "Lavender oil"\nphase = "second cool-down"\n',
    'material = "Lavender oil"\nphase = "second cool-down"\ntolerance = "10 %"\n',
)  # fmt: skip


def cream(*changes):
    return read_text(edited("winter-shore-cream", *changes)).procedure


def direct(how):
    """The second group weighed straight into the pot, in this way."""
    return cream(
        drop("Weigh the second boat"), ALONE, TOLERANT,
        ('pour = "second boat"\n', f'ingredients = ["Oil-soluble vitamin C", "Lavender oil"]\n{how}\n'),
    )  # fmt: skip


def at(procedure, step, devices=SCALES[:2]):
    """At that step, everything before it done; no probe tells a temperature."""
    bench = Bench(devices, procedure, 600.0)
    weight = ev.WeightTaken(
        at_s=0.0, step="03-weigh", act="x", line="sweet-almond-oil", vessel="oil-pot", net_g=162.0, gross_g=None,
        target_g=162.0, low_g=162.0, high_g=162.0, source=ev.Source.MEASURED, device="big", checked=True,
    )  # fmt: skip
    bench.commit([weight])
    bench.jump(step)
    bench.give(Tick(bench.now))
    bench.press("understood")
    return bench


def noted(bench):
    return [d for d in bench.make.state.deviations if d.kind == "added too fast"]


@pytest.fixture
def combining():
    """The oil goes into the water over 90 s; nobody holds the temperatures against anything here."""
    return at(cream(('band = ["72 degC", "80 degC"]\nwithin = "5 K"\n', "")), "06-combine")


def wait(bench, seconds):
    bench.give(Tick(round(bench.now + seconds, 3)))


def test_it_begins_with_a_word_and_runs_by_the_clock(combining):
    view = combining.view.act_view
    assert view.instruction == "Pour the oil pot into the water pot over 1 min 30 s."
    assert [c.word for c in view.choices] == ["start"]
    combining.press("start")
    wait(combining, 45.0)
    view = combining.view.act_view
    assert view.note == "About 50 % of it should be in by now."
    assert (view.picture.elapsed_s, view.picture.total_s, view.live[0].value) == (45.0, 90.0, 45.0)
    assert view.want.amount == 162.0
    assert view.want.pace_g_s == pytest.approx(1.8)


def test_in_its_time_nothing_is_noted_and_the_time_is_on_the_record(combining):
    combining.press("start")
    wait(combining, 80.0)
    (said,) = [e for e in combining.press("yes") if isinstance(e, ev.Confirmed)]
    assert said.text == "Pour the oil pot into the water pot. (81 s)"
    assert noted(combining) == []


def test_far_too_fast_is_a_deviation(combining):
    combining.press("start")
    wait(combining, 30.0)
    combining.press("yes")
    (fast,) = noted(combining)
    assert fast.grade is ev.Grade.MINOR
    assert fast.text == "Pour the oil pot into the water pot: in after 31 s, 1 min 30 s were wanted."


def test_after_its_time_the_rest_goes_in(combining):
    combining.press("start")
    wait(combining, 120.0)
    assert combining.view.act_view.note == "Its time is over: pour the rest in."


def test_behind_a_shut_gate_it_begins_only_with_a_reason():
    bench = at(cream(), "06-combine")
    assert bench.press("start") == []
    assert bench.press("anyway") == []
    bench.press("anyway", "the probe is broken")
    assert [d.kind for d in bench.make.state.deviations] == ["combined out of band"]
    assert bench.view.act_view.stage == "running"


def test_in_portions_each_part_is_said_and_stirred_in():
    bench = at(
        cream(
            (
                'band = ["72 degC", "80 degC"]\nwithin = "5 K"\nduring = "90 s"',
                'portions = 3\nbetween = "20 s"',
            )
        ),
        "06-combine",
    )
    said = []
    for _ in range(3):
        said.append(bench.view.act_view.instruction)
        if bench.view.act_view.want.amount:
            assert bench.view.act_view.want.amount == pytest.approx(54.0)
        bench.press("yes")
        if len(said) < 3:
            assert bench.view.act_view.instruction == "Stir the water pot"
            wait(bench, 20.0)
    assert said == [
        "Pour part 1 of 3 of the oil pot into the water pot.", "Pour part 2 of 3 of the oil pot into the water pot.",
        "Pour the rest of the oil pot into the water pot.",
    ]  # fmt: skip
    assert ("06-combine", "emptied oil-pot") in bench.make.state.acts_done


def pouring(how):
    """The pot (420 g) with the batch is on the scale, vitamin C in hand."""
    bench = at(direct(how), "12-add")
    bench.press("anyway", "no probe in this test")
    bench.stand(0.0)
    bench.place(420.0)
    bench.press("yes")
    bench.stand(420.0)
    return bench


def poured(bench, grams, seconds):
    """In that time, evenly; then at rest."""
    base, steps = bench.shown["big"], int(seconds * 2)
    for n in range(1, steps + 1):
        bench.rest(round(base + grams * n / steps, 1), 0.5)
    return bench.rest(round(base + grams, 1), 6.0)


def test_on_the_scale_the_rate_stands_beside_the_wanted_one():
    bench = pouring('during = "2 min"')
    view = bench.view.act_view
    assert (view.note, view.live[1].word) == ("Over 2 min: 3 g a minute.", "waiting")
    poured(bench, 2.0, 40.0)
    _, rate = bench.view.act_view.live
    assert (rate.unit, rate.word) == ("g/min", "in band")
    assert rate.value == pytest.approx(3.0, abs=0.5)


def test_slowly_enough_it_is_taken_and_nothing_is_noted():
    bench = pouring('during = "2 min"')
    poured(bench, 6.0, 115.0)
    bench.press("take")
    assert [e.line for e in bench.events if isinstance(e, ev.WeightTaken)][1:] == ["oil-soluble-vitamin-c"]
    assert noted(bench) == []


def test_too_fast_it_says_slower_and_notes_it():
    bench = pouring('during = "2 min"')
    poured(bench, 4.0, 12.0)
    view = bench.view.act_view
    assert view.instruction == "Slower. Pour 6.0 g of Oil-soluble vitamin C into the water pot."
    assert (view.move, view.live[1].word) == ("Slower", "above")
    poured(bench, 2.0, 10.0)
    bench.press("take")
    (fast,) = noted(bench)
    assert fast.text.startswith("Oil-soluble vitamin C: in after ")
    assert fast.text.endswith("s, 2 min were wanted.")


def test_a_pause_makes_it_good():
    bench = pouring('during = "2 min"')
    poured(bench, 4.0, 12.0)
    bench.rest(424.0, 60.0)
    assert not bench.view.act_view.instruction.startswith("Slower")


def test_on_the_scale_portions_are_weighed_and_rested():
    bench = pouring('portions = 3\nbetween = "20 s"')
    for n in (1, 2, 3):
        assert (
            bench.view.act_view.instruction
            == f"Pour 2.0 g of Oil-soluble vitamin C, portion {n} of 3 into the water pot."
        )
        poured(bench, 2.0, 4.0)
        bench.press("take")
        if n < 3:
            assert bench.view.act_view.instruction == "Stir the water pot"
            wait(bench, 20.0)
            bench.stand(bench.shown["big"])
    taken = [e for e in bench.events if isinstance(e, ev.WeightTaken)][1:]
    assert [(w.portion, w.portions, w.net_g) for w in taken] == [(1, 3, 2.0), (2, 3, 2.0), (3, 3, 2.0)]


@pytest.mark.parametrize(
    ("how", "says"),
    [('during = "2 min"\nportions = 3', "slowly or in portions, not both"), ('between = "1 min"', "there are none"),
     ('portions = 1', "too small"), ('during = "0 s"', "is nothing")],
)  # fmt: skip
def test_what_cannot_be_meant_is_refused(how, says):
    with pytest.raises(ProcedureInvalid, match=says):
        cream((POUR, f"{POUR}{how}\n"))


def test_the_sentence_says_how():
    for how, says in (
        ('during = "2 min"', ", slowly, over 2 min,"),
        ('portions = 3\nbetween = "20 s"', ", in 3 portions with 20 s between,"),
    ):
        procedure = cream((POUR, f"{POUR}{how}\n"))
        step = next(s for s in procedure.steps if s.title == "Add the first boat")
        assert says in step.sentence(bench_at(step, procedure))


def test_on_hold_nothing_is_poured_and_while_the_program_was_away_it_may_have_been(combining):
    combining.press("start")
    wait(combining, 10.0)
    before = list(combining.events)
    combining.give(Hold(combining.now, "the door bell"))
    wait(combining, 600.0)
    combining.press("resume")
    assert combining.view.act_view.live[0].value == pytest.approx(80.0, abs=2.1)
    combining.press("yes")
    assert len(noted(combining)) == 1

    combining.make, combining.events = Make(combining.make.plan, before), before
    combining.give(Resumed(combining.now, 600.0))
    combining.press("yes")
    assert noted(combining) == [], "nobody knows"


def test_what_a_remedy_puts_on_top_is_stirred_in_with_the_rest():
    procedure = direct("")
    step = next(s for s in procedure.steps if s.kind == "add" and "lavender-oil" in s.lines)
    bench = at(procedure, step.key)
    bench.commit([
        ev.TargetsRevised(
            at_s=bench.now, step=step.key, why="kept the formula", batch_g=610.0, additions=(("lavender-oil", 0.5),),
            targets=(),
        )
    ])  # fmt: skip
    keys = [a.key for a in bench.make.agenda.acts_now(step.key, bench.make.state)]
    assert keys[-2:] == ["pour lavender-oil again 1", "stir"]


NEAR = ('band = ["72 degC", "80 degC"]\nwithin = "5 K"\n', 'within = "5 K"\n')


def test_two_pots_that_were_never_heated_can_be_said_to_be_near_each_other():
    """Nothing but "Do it all the same" was offered, and no temperature could be typed."""
    bench = at(cream(NEAR), "06-combine")
    while bench.view.act_view.ask is not None and bench.view.act_view.not_yet:
        bench.give(TypeValue(bench.now, bench.make.state.prompt, 21.0))
    assert not bench.view.act_view.not_yet
    assert ChoiceKey.ANYWAY not in [c.word for c in bench.view.act_view.choices]


def test_a_probe_is_asked_into_each_pot_that_meets_another():
    bench = at(cream(NEAR), "06-combine", SCALES)
    for pot, probe in (("water-pot", "probe 1"), ("oil-pot", "probe 2")):
        assert bench.view.act_view.want.thing == probe
        bench.press("yes")
        assert bench.make.state.probes[probe] == pot
    assert not any(x.device == "" for x in bench.view.act_view.live)


def test_a_probe_does_not_go_along_with_what_is_poured_unless_somebody_puts_it_there(combining):
    """Left in the emptied pot it cools with that: taken for the batch's it would open the gate for what heat spoils."""
    bench = combining
    bench.commit([ev.ProbeMoved(at_s=bench.now, probe="probe 1", vessel="oil-pot")])
    bench.commit([
        ev.MassMoved(
            at_s=bench.now, step="06-combine", origin="oil-pot", into="water-pot", mass_g=162.0, left_g=0.0,
            source=ev.Source.MEASURED,
        )
    ])  # fmt: skip
    assert bench.make.context().probe_in("water-pot") is None
    assert bench.make.context().probe_in("oil-pot") is None
