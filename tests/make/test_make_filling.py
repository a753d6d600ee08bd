"""The sums of filling as a make uses them: how many bottles, what may be short, what a scale can tell, density."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_by_hand import SCALES, Bench

from benchapp import events as ev
from benchapp.calculations.filling import may_be_short, tolerable_negative_error
from benchapp.make.inputs import Degrees, TypeValue

PROBE = ev.DeviceFacts("thermo", "thermometer", ("probe 1",))


def filling(content_g, devices=SCALES):
    """A make that begins to fill, with so much in its pot; nothing is known of the density."""
    bench = Bench(devices)
    if content_g:
        weight = ev.WeightTaken(
            at_s=0.0, step="02-weigh", act="water", line="water", vessel="water-pot", net_g=content_g, gross_g=None,
            target_g=content_g, low_g=content_g, high_g=content_g, source=ev.Source.MEASURED, device="big", checked=True,
        )  # fmt: skip
        bench.commit([weight])
    bench.to("17-fill")
    return bench


def bottle(bench, net_g, empty_g=18.0):
    bench.stand(0.0)
    bench.stand(empty_g)
    bench.stand(round(empty_g + net_g, 2))
    bench.stand(0.0)


def typed(bench, net_g):
    """Typed, and so it is where that is asked once more."""
    out = bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, net_g))
    if bench.make.state.progress.stage == "typed":
        out += bench.press("typed anyway", "it is so")
    return out


@pytest.mark.parametrize("devices", [SCALES, ()])
def test_a_content_typed_with_its_point_misplaced_is_asked_for_once_more(devices):
    """As any weight that is typed: a tenth of the label became a container, and nothing could take it back."""
    bench = filling(450.0, devices)
    for slip in (10.03, 104.0):
        bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, slip))
        view = bench.view.act_view
        assert view.instruction == f"{slip:g} g in bottle 1?"
        assert view.not_yet[0].startswith("It should be 100 to ")
        assert [c.word for c in view.choices] == ["type again", "typed anyway"]
        assert bench.press("typed anyway") == [], "it wants a reason"
        bench.press("type again")
    assert bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, 1003.0)) == [], "no bottle holds it"
    bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, 100.3))
    assert [e.net_g for e in bench.events if isinstance(e, ev.BottleFilled)] == [100.3]
    bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, 62.0))
    bench.press("typed anyway", "the last of it")
    assert [e.net_g for e in bench.events if isinstance(e, ev.BottleFilled)] == [100.3, 62.0]
    (short,) = [d for d in bench.make.state.deviations if d.kind == "underfilled"]
    assert short.text == "Bottle 2: 62 g, 38.0 g short of its label. Typed. the last of it"


def test_what_stood_on_the_scale_while_a_content_was_typed_again_is_no_empty_bottle():
    bench = filling(450.0)
    bottle(bench, 100.4)
    bench.stand(18.0)
    bench.stand(118.4)
    bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, 10.0))
    bench.press("type again")
    bench.stand(118.4, 6.0)
    assert len([e for e in bench.events if isinstance(e, ev.PourBegan)]) == 2, "one for each bottle"
    bench.stand(0.0)
    bottle(bench, 100.3)
    assert [e.net_g for e in bench.events if isinstance(e, ev.BottleFilled)] == [100.4, 100.4, 100.3]


def test_how_many_bottles_is_said_before_the_first():
    """410 g, of which 3 % of the batch of 500 g cling: 395 g are three bottles of 100.3 g, 410 g four."""
    bench = filling(410.0)
    assert bench.make.plan.procedure.loss_percent == 3.0
    assert "Enough for about 3 to 4 bottles." in bench.view.act_view.note


def test_when_it_runs_out_it_is_said_before_another_bottle_is_opened():
    bench = filling(335.0)
    bottle(bench, 100.3)
    assert "one more" not in bench.view.act_view.note
    bottle(bench, 100.3)
    assert "enough for one more bottle" in bench.view.act_view.note
    bottle(bench, 100.3)
    assert "About 34 g is left: not enough for a full bottle" in bench.view.act_view.note


def test_what_clings_to_the_pot_may_be_the_last_bottle():
    """109.4 g are a bottle of 100.3 g only if less than the 15 g that are usually lost stay in the pot."""
    bench = filling(310.0)
    bottle(bench, 100.3)
    bottle(bench, 100.3)
    assert "About 109 g is left: it may just fill one more bottle" in bench.view.act_view.note


@pytest.mark.parametrize(("net_g", "kinds"), [(100.4, []), (104.0, ["overfilled"])])
def test_a_full_bottle_on_the_scale_counts_when_it_is_said_to_be_the_last(net_g, kinds):
    """Said the moment it is full, before it was taken by itself; and of one that is more than full."""
    bench = filling(310.0)
    bottle(bench, 100.3)
    bench.stand(0.0)
    bench.stand(18.0)
    bench.stand(round(18.0 + net_g, 2), 1.8)
    bench.press("last")
    filled = [e.net_g for e in bench.make.state.log if isinstance(e, ev.BottleFilled)]
    assert filled == [100.3, net_g]
    mean = next(e for e in bench.make.state.log if isinstance(e, ev.NumberTaken) and e.what == "mean content")
    assert mean.value == pytest.approx((100.3 + net_g) / 2, abs=0.001)
    assert [
        e.kind for e in bench.make.state.log if isinstance(e, ev.DeviationNoted) and "filled" in e.kind
    ] == kinds


def test_the_last_bottle_is_counted_once_though_it_still_stands_on_the_scale():
    bench = filling(310.0)
    bench.stand(0.0)
    bench.stand(18.0)
    bench.stand(118.4)
    assert len([e for e in bench.make.state.log if isinstance(e, ev.BottleFilled)]) == 1
    bench.press("last")
    assert len([e for e in bench.make.state.log if isinstance(e, ev.BottleFilled)]) == 1
    assert not [e for e in bench.make.state.log if isinstance(e, ev.SampleTaken)]


def test_the_last_is_not_said_over_something_that_is_no_bottle():
    """It went without a word: neither counted, nor a rest. Now what stands there is taken off first."""
    bench = filling(410.0)
    bottle(bench, 100.3)
    bench.stand(18.0)
    bench.stand(18.0 + 900.0)
    assert "more than a bottle holds" in " ".join(bench.view.act_view.not_yet)
    assert "last" not in [c.word for c in bench.view.act_view.choices]
    assert bench.press("last") == []
    bench.stand(18.0 + 60.0)
    assert [type(e) for e in bench.press("last")][:1] == [ev.SampleTaken], "a rest, no product"


def test_of_a_pot_nothing_was_weighed_into_only_what_the_label_asks_for_is_said():
    """100 ml, taken as of 1 g/ml where no density was measured."""
    assert filling(0.0).view.act_view.note == "Its label asks for 100.0 g."


def test_a_run_of_a_hundred_and_more_is_judged_as_a_sample_drawn_from_it_would_be():
    """76/211/EEC Annex II: of 100 to 500 packs 50 are drawn and 3 may be short by more than 4.5 g of 100 ml."""
    bench = filling(0.0, devices=())
    few = may_be_short(120)
    for net_g in [94.0] * (few + 1) + [100.6] * (119 - few):
        typed(bench, net_g)
    bench.press("last")
    (judged,) = [d for d in bench.make.state.deviations if d.kind == "packers' rules"]
    assert judged.text == "Refill bottle 1 by 6 g."
    assert bench.make.state.numbers["mean content"] == pytest.approx(
        (94 * (few + 1) + 100.6 * (119 - few)) / 120, abs=1e-3
    )


def test_the_error_of_a_volume_is_its_own_also_in_grams():
    """100 ml may fall short by 4.5 ml: of a foam of 0.5 g/ml that is 2.25 g, not the 4.5 g of 50 g."""
    bench = Bench(devices=())
    bench.to("16-density")
    typed(bench, 25.0)
    bench.to("17-fill")
    for net_g in (47.7, 47.8):
        typed(bench, net_g)
    grades = [d.grade for d in bench.make.state.deviations if d.kind == "underfilled"]
    assert grades == [ev.Grade.MAJOR, ev.Grade.MINOR]
    assert tolerable_negative_error(50.0) == 4.5


def test_a_scale_too_coarse_for_the_label_is_said_and_noted():
    """OIML R 87: a fifth of 4.5 g is 0.9 g; steps of 1 g leave a content known to 1.16 g."""
    coarse = (replace(SCALES[0], readability_g=1.0),)
    bench = filling(0.0, devices=coarse)
    assert "steps of 1 g, too coarse to tell 0.9 g" in bench.view.act_view.note
    assert [d.grade for d in bench.make.state.deviations if d.kind == "coarse scale"] == [ev.Grade.NOTE]
    assert not [d for d in filling(0.0).make.state.deviations if d.kind == "coarse scale"]


def at_density(temp_c):
    bench = Bench((*SCALES[:2], PROBE))
    bench.to("16-density")
    bench.commit([ev.ProbeMoved(at_s=bench.now, probe="probe 1", vessel="water-pot")])
    bench.give(Degrees(bench.now + 0.5, "thermo", "probe 1", temp_c))
    return bench


def test_a_density_measured_warm_is_brought_to_20_degrees_and_says_so():
    """Declared volumes count at 20 °C (76/211/EEC Annex I); 0.0003 per kelvin as in the sums, held against iapws."""
    bench = at_density(35.0)
    assert "from 35 °C it is brought to 20 °C (computed)" in bench.view.act_view.note
    events = typed(bench, 48.5)
    numbers = {e.what: (e.value, e.source) for e in events if isinstance(e, ev.NumberTaken)}
    assert numbers == {
        "mass of the known volume": (48.5, ev.Source.STATED),
        "temperature of the known volume": (35.0, ev.Source.MEASURED),
        "density": (pytest.approx(0.97 * 1.0045, abs=1e-4), ev.Source.COMPUTED),
    }


def test_a_density_without_a_probe_stands_as_it_was_measured():
    bench = Bench()
    bench.to("16-density")
    assert "near 20 °C: no probe tells" in bench.view.act_view.note
    events = typed(bench, 48.5)
    assert [e.what for e in events if isinstance(e, ev.NumberTaken)] == [
        "mass of the known volume",
        "density",
    ]
    assert bench.make.state.numbers["density"] == pytest.approx(0.97)


def test_a_density_typed_out_of_its_band_is_asked_for_once_more():
    """The bottles were filled by what a slip of the finger made of it."""
    bench = Bench()
    bench.to("16-density")
    bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, 42.6))
    assert bench.make.state.step == "16-density"
    assert "density" not in bench.make.state.numbers
    view = bench.view.act_view
    assert (view.instruction, [c.word for c in view.choices]) == ("42.6 g?", ["type again", "typed anyway"])
    assert view.not_yet[0].startswith("Density 0.852 g/ml, expected ")
    bench.press("type again")
    bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, 42.6))
    assert bench.press("typed anyway") == [], "it wants a reason"
    bench.press("typed anyway", "it foamed")
    (off,) = [d for d in bench.make.state.deviations if d.kind == "density out of band"]
    assert off.text.endswith(" g/ml. it foamed")
    assert bench.make.state.numbers["density"] == pytest.approx(0.852)
