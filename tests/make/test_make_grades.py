"""Grades by consequence: what a make notes where nothing was blended, nothing stood wet, or more came out than went in."""

from __future__ import annotations

import pytest
from bench_by_hand import SCALES, Bench, kinds

from benchapp import events as ev
from benchapp.make.inputs import Skip, Tick

MAJOR, MINOR = ev.Grade.MAJOR, ev.Grade.MINOR


def key(bench, kind):
    return next(s.key for s in bench.procedure.steps if s.kind == kind)


def noted(bench):
    return [(d.kind, d.grade) for d in bench.make.state.deviations]


def at(kind):
    bench = Bench()
    bench.jump(key(bench, kind))
    bench.give(Tick(bench.now + 1))
    return bench


def at_the_blender():
    bench = at("blend")
    while "start" not in [str(c.word) for c in bench.view.act_view.choices]:
        bench.press(bench.view.act_view.choices[0].word)
    return bench


def stop(bench):
    bench.press("start")
    word = next(c.word for c in bench.view.act_view.choices if c.serious)
    bench.press(word, "the blender is broken")


def test_no_burst_at_all_is_major():
    bench = at_the_blender()
    stop(bench)
    assert noted(bench) == [("not blended", MAJOR)]


def test_one_burst_too_few_is_minor():
    bench = at_the_blender()
    bench.press("start")
    step = next(s for s in bench.procedure.steps if s.kind == "blend")
    bench.now += step.burst_s + 1
    bench.give(Tick(bench.now))
    bench.now += step.rest_s + 1
    bench.give(Tick(bench.now))
    stop(bench)
    assert noted(bench) == [("blended less", MINOR)]


def test_a_blend_that_is_left_out_is_major_too():
    bench = at("blend")
    bench.give(Skip(bench.now, bench.make.state.prompt, "no power"))
    assert noted(bench)[-1] == ("step skipped", MAJOR)


def test_a_sanitiser_without_its_contact_time_is_major():
    bench = Bench()
    while not any(c.word == "cut short" for c in bench.view.act_view.choices):
        bench.press(bench.view.act_view.choices[0].word)
    bench.press("cut short", "in a hurry")
    assert noted(bench) == [("contact time cut short", MAJOR)]


@pytest.mark.parametrize(
    ("out_g", "kinds"),
    [(590.0, ["yield out of limits", "more than went in"]), (503.0, ["yield out of limits"])],
)
def test_more_product_than_went_in_is_major(out_g, kinds):
    bench = Bench()
    bench.jump("02-weigh")
    step = key(bench, "fill")
    weighed = ev.WeightTaken(
        at_s=1.0, step="02-weigh", act="pour", line="purified-water", vessel="water-pot", target_g=500.0, low_g=495.0,
        high_g=505.0, net_g=500.0, gross_g=None, source=ev.Source.MEASURED, device="big", checked=True, lot="w",
    )  # fmt: skip
    bench.commit([weighed])
    bench.jump(step)
    bottle = ev.BottleFilled(
        at_s=2.0, step=step, vessel="water-pot", number=1, net_g=out_g, low_g=97.0, target_g=97.3, source=ev.Source.MEASURED
    )  # fmt: skip
    bench.commit([bottle])
    bench.jump(key(bench, "finish"))
    bench.give(Tick(bench.now + 1))
    bench.press("sign")
    found = noted(bench)
    assert [k for k, _ in found] == kinds
    assert (("more than went in", MAJOR) in found) == (len(kinds) > 1)


def test_an_unchecked_scale_keeps_the_batch():
    bench = Bench(
        tuple(ev.DeviceFacts(d.name, d.kind, d.channels, d.readability_g, d.capacity_g) for d in SCALES)
    )
    bench.at_the_first_pour()
    bench.stand(796.0)
    assert ("unchecked big", MINOR) in noted(bench)


@pytest.mark.parametrize("rehearsal", [False, True])
def test_that_a_scale_is_not_checked_is_said_where_it_can_be(rehearsal):
    unchecked = tuple(
        ev.DeviceFacts(d.name, d.kind, d.channels, d.readability_g, d.capacity_g) for d in SCALES
    )
    bench = Bench(unchecked, rehearsal=rehearsal)
    bench.at_the_first_pour()
    assert [live.checked for live in bench.view.act_view.live] == [rehearsal]


def test_a_simulated_scale_cannot_be_checked_and_is_not_noted():
    unchecked = tuple(
        ev.DeviceFacts(d.name, d.kind, d.channels, d.readability_g, d.capacity_g) for d in SCALES
    )
    bench = Bench(unchecked, rehearsal=True)
    bench.at_the_first_pour()
    bench.stand(796.0)
    assert "WeightTaken" in kinds(bench.events)
    assert not [kind for kind, _ in noted(bench) if kind.startswith("unchecked")]


@pytest.mark.parametrize(("grams", "above"), [(4.5, False), (12.0, True)])
def test_what_was_weighed_is_held_against_the_law_at_the_end(grams, above):
    """Phenoxyethanol: 1 % at the most (Regulation (EC) 1223/2009, Annex V entry 29); the blend holds up to 64 % of it."""
    bench = Bench()
    bench.jump("02-weigh")
    lines = {x.key: 5.0 * x.percent for x in bench.procedure.formula.lines if x.percent} | {
        "preservative-blend": grams
    }
    bench.commit([
        ev.WeightTaken(
            at_s=1.0, step="02-weigh", act="pour", line=line, vessel="water-pot", target_g=g, low_g=g, high_g=g, net_g=g,
            gross_g=None, source=ev.Source.MEASURED, device="big", checked=True, lot="w",
        )
        for line, g in lines.items()
    ])  # fmt: skip
    bench.jump(key(bench, "finish"))
    bench.give(Tick(bench.now + 1))
    bench.press("sign")
    assert (("above a ceiling", MAJOR) in noted(bench)) == above
