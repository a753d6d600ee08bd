"""A pH that is off is set by what the make suggests, where the batch answers by sums that share nothing with ours."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench
from otherbench.acidity import Acidity, solution

from benchapp import events as ev
from benchapp.make.inputs import Tick, TypeValue

STEP = "14-measure-ph"


@pytest.fixture
def at_the_ph():
    """The hand lotion, everything in one pot, at the step that measures its pH."""
    bench = Bench(devices=())  # by hand: what is suggested is typed as it went in
    bench.jump(STEP)
    bench.weigh_everything()
    bench.give(Tick(bench.now))
    return bench


def doses_of(bench, batch, slip=1.0):
    """(line, grams) that went in, as suggested and typed; the first of them ``slip`` times as much."""
    step = next(s for s in bench.procedure.steps if s.key == STEP)
    doses = []
    for _ in range(400):
        if bench.make.state.step != STEP:
            break
        view, stage = bench.view.act_view, bench.make.state.progress.stage.plain
        bench.now += 5.0
        if bench.press("meter"):
            continue
        if stage == "read":
            bench.give(TypeValue(bench.now, bench.make.state.prompt, round(batch.ph(step.water_parts), 2)))
        elif stage == "adjust":
            bench.press("add")
        elif stage == "dose":
            line, grams = view.want.thing, round(view.want.amount * (1.0 if doses else slip), 2)
            doses.append((line, grams))
            inci = "Citric Acid" if line.startswith("citric") else "Sodium Hydroxide"
            batch.add(solution(inci, 10.0), grams)
            bench.give(TypeValue(bench.now, bench.make.state.prompt, grams))
            if bench.make.state.progress.stage == "typed":  # asked once more, and it is so
                bench.press("typed anyway", "the bottle slipped")
        elif not bench.press("understood" if "cautions" in bench.make.state.prompt else "yes"):
            bench.give(Tick(bench.now))
    return doses


@pytest.mark.parametrize("off", [0.9, 0.4, -0.3, -0.8])
def test_it_comes_into_its_band_in_a_few_additions(at_the_ph, off):
    step = next(s for s in at_the_ph.procedure.steps if s.key == STEP)
    batch = Acidity(500.0, (step.band.high if off > 0 else step.band.low) + off)
    doses = doses_of(at_the_ph, batch)
    assert step.band.holds(round(batch.ph(step.water_parts), 2)), doses
    assert 1 <= len(doses) <= 3
    assert len({line for line, _ in doses}) == 1, "never past the other edge"


@pytest.mark.parametrize(("off", "slip"), [(0.4, 8.0), (0.4, 9.5)])
def test_far_too_much_acid_is_reckoned_with_when_the_base_follows(at_the_ph, off, slip):
    step = next(s for s in at_the_ph.procedure.steps if s.key == STEP)
    batch = Acidity(500.0, step.band.high + off)
    doses = doses_of(at_the_ph, batch, slip)
    assert step.band.holds(round(batch.ph(step.water_parts), 2)), doses
    assert [line.startswith("citric") for line, _ in doses] == [True] + [False] * (len(doses) - 1), doses
    assert 2 <= len(doses) <= 4, doses
    noted = [e for e in at_the_ph.events if isinstance(e, ev.DeviationNoted)]
    (far,) = [e for e in noted if e.kind == "weight out of band"]
    assert far.grade == ev.Grade.MINOR
    assert far.text.endswith("Typed. the bottle slipped")


def at_the_dose(bench):
    """The pH reads 6.4, and the first addition is to be typed."""
    for _ in range(200):
        stage = bench.make.state.progress.stage.plain
        if stage == "dose":
            return
        bench.now += 5.0
        if bench.press("meter") or bench.press("add"):
            continue
        if stage == "read":
            bench.give(TypeValue(bench.now, bench.make.state.prompt, 6.4))
        elif not bench.press("understood" if "cautions" in bench.make.state.prompt else "yes"):
            bench.give(Tick(bench.now))


def test_a_dose_typed_with_its_point_misplaced_is_asked_for_again(at_the_ph):
    bench = at_the_ph
    at_the_dose(bench)
    grams = round(bench.view.act_view.want.amount, 2)
    bench.now += 5.0
    assert bench.give(TypeValue(bench.now, bench.make.state.prompt, 10 * grams)) == [], "more than its cap"
    slip = round(grams / 10, 2)
    bench.give(TypeValue(bench.now, bench.make.state.prompt, slip))
    view = bench.view.act_view
    assert view.instruction.startswith(f"{slip:g} g of")
    assert view.not_yet[0].startswith("It should be ")
    assert [c.word for c in view.choices] == ["type again", "typed anyway"]
    assert bench.press("typed anyway") == [], "it wants a reason"
    bench.press("type again")
    bench.give(TypeValue(bench.now, bench.make.state.prompt, grams))
    weighed = [e.net_g for e in bench.events if isinstance(e, ev.WeightTaken) and e.step == STEP]
    assert weighed == [grams]


@pytest.mark.parametrize("typed", [0.41, 14.0])
def test_a_ph_that_no_batch_reads_brings_no_addition(at_the_ph, typed):
    bench = at_the_ph
    for _ in range(200):
        bench.now += 5.0
        if bench.press("meter"):
            continue
        if bench.make.state.progress.stage.plain == "adjust":
            break
        if bench.make.state.progress.stage.plain == "read":
            bench.give(TypeValue(bench.now, bench.make.state.prompt, typed))
        elif not bench.press("understood" if "cautions" in bench.make.state.prompt else "yes"):
            bench.give(Tick(bench.now))
    view = bench.view.act_view
    assert f"pH {typed:g} is hardly that of a batch" in view.note
    assert "add" not in [str(c.word) for c in view.choices]
    assert "again" in [str(c.word) for c in view.choices]


def test_the_cap_is_of_what_is_there_and_not_of_what_was_planned(at_the_ph):
    """By hand: of 300 g that are left, 1 % of the whole is 300 / 99 g, and not 5 g."""
    bench = at_the_ph
    act = next(a for a in bench.make.agenda.acts[STEP] if hasattr(a, "cap_left_g"))
    line = next(x for x in bench.procedure.formula.lines if x.key == act.lower_with[0])
    there_g = bench.make.state.ledger.of(act.vessel).content_g
    bench.commit([
        ev.SampleTaken(at_s=bench.now, step=STEP, vessel=act.vessel, mass_g=there_g - 300.0, what="sample", source=ev.Source.STATED)
    ])  # fmt: skip
    left_g = bench.make.state.ledger.of(act.vessel).content_g
    assert left_g == pytest.approx(300.0)
    cap_g = act.cap_left_g(bench.make.context(), line)
    assert 100.0 * cap_g / (left_g + cap_g) == pytest.approx(line.cap_percent)
    assert cap_g < line.cap_percent * bench.make.plan.batch_g / 100


def tried(bench, ph_of):
    """Walks a trial sample to its end, each reading by ``ph_of`` the grams that are said to be in it; back at what to add."""
    said_g = 0.0
    begun = False
    for _ in range(400):
        view, stage = bench.view.act_view, bench.make.state.progress.stage
        bench.now += 5.0
        if bench.press("meter"):
            continue
        if stage.plain == "read":
            bench.give(TypeValue(bench.now, bench.make.state.prompt, ph_of(said_g)))
        elif stage == "adjust" and begun:
            return
        elif stage == "adjust":
            begun = True
            bench.press("try")
        elif stage.plain == "dose":
            said_g += view.want.amount
            bench.give(TypeValue(bench.now, bench.make.state.prompt, round(view.want.amount, 2)))
        elif not bench.press("understood" if "cautions" in bench.make.state.prompt else "yes"):
            bench.give(Tick(bench.now))


def suggested_g(bench):
    act = bench.make.act()
    return act.dose(bench.make.context()).grams


def test_a_trial_sample_that_was_forgotten_is_not_reckoned_with_and_that_is_said(at_the_ph):
    step = next(s for s in at_the_ph.procedure.steps if s.key == STEP)
    ph = step.band.high + 0.9
    tried(at_the_ph, lambda _: ph)
    (said, *_) = at_the_ph.view.act_view.not_yet
    assert said.startswith(f"The trial sample stayed at pH {ph:.2f} with ")
    forgotten_g = suggested_g(at_the_ph)
    fresh = Bench(devices=())
    fresh.jump(STEP)
    fresh.weigh_everything()
    fresh.give(Tick(fresh.now))
    first_g = first_suggested_g(fresh, ph)
    assert forgotten_g == pytest.approx(first_g, rel=0.1), "as if it had never been tried"


def first_suggested_g(bench, ph):
    while bench.make.state.progress.stage != "adjust":
        bench.now += 5.0
        if bench.press("meter"):
            continue
        if bench.make.state.progress.stage == "read":
            bench.give(TypeValue(bench.now, bench.make.state.prompt, ph))
        elif not bench.press("understood" if "cautions" in bench.make.state.prompt else "yes"):
            bench.give(Tick(bench.now))
    return suggested_g(bench)


def test_an_addition_the_batch_does_not_answer_to_is_asked_about_and_at_most_doubled(at_the_ph):
    step = next(s for s in at_the_ph.procedure.steps if s.key == STEP)
    ph = step.band.high + 0.9
    first_g = first_suggested_g(at_the_ph, ph)
    at_the_ph.press("add")
    while at_the_ph.make.state.progress.stage != "adjust":
        stage = at_the_ph.make.state.progress.stage
        at_the_ph.now += 5.0
        if stage == "read":
            at_the_ph.give(TypeValue(at_the_ph.now, at_the_ph.make.state.prompt, ph))
        elif stage == "dose":
            at_the_ph.give(TypeValue(at_the_ph.now, at_the_ph.make.state.prompt, first_g))
        elif not at_the_ph.press("yes"):
            at_the_ph.give(Tick(at_the_ph.now))
    (said, *_) = at_the_ph.view.act_view.not_yet
    assert said.startswith(f"The pH has not moved since {first_g:.2f} g went in.")
    assert suggested_g(at_the_ph) <= first_g


def test_of_what_corrects_it_the_glass_warns_once_a_ph_was_read(at_the_ph):
    """Before the step all of it is read; on the way to the first pH none of it is in hand."""
    assert {name for c in at_the_ph.view.act_view.cautions for name in c.of} >= {"Citric acid solution 10 %"}
    while at_the_ph.make.state.progress.stage.plain != "read" or at_the_ph.press("meter"):
        at_the_ph.press("understood") or at_the_ph.press("yes") or at_the_ph.press("meter")
    assert not [c.of for c in at_the_ph.view.cautions if c.of]
    at_the_ph.give(TypeValue(at_the_ph.now + 1.0, at_the_ph.make.state.prompt, 6.4))
    assert {name for c in at_the_ph.view.cautions for name in c.of} >= {"Citric acid solution 10 %"}
