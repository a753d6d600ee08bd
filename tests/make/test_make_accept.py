"""Accepting what was weighed although it is outside its band: what it takes, and what is written down of it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_by_hand import Bench, kinds

from benchapp import events as ev
from benchapp.foundation.numbers import exact, to_division
from procedures.reading import read_procedure
from procedures.shelf import find

POT_G = 420.0
LINE = "purified-water"


@pytest.fixture
def pouring():
    """The water is being poured on the big scale (0.1 g); nothing is in yet."""
    bench = Bench()
    bench.at_the_first_pour()
    return bench


def water(bench):
    return bench.make.plan.weighings[LINE].target


def rest_at(bench, net_g, seconds=6.0):
    return bench.stand(exact(POT_G + net_g), seconds)


def of(events, kind):
    return [e for e in events if isinstance(e, kind)]


def above(bench, by_g):
    """The scale at rest so many grams above the band; the remedies stand on the glass."""
    net = to_division(water(bench).band.high + by_g, 0.1)
    rest_at(bench, net)
    assert bench.make.state.progress.stage == "remedy"
    return net


def below(bench, by_g):
    net = to_division(water(bench).band.low - by_g, 0.1)
    rest_at(bench, net)
    return net


# --- accept: too much --------------------------------------------------------------------------------------


def test_accepted_the_weight_as_it_is_goes_into_the_record_with_the_reason(pouring):
    net = above(pouring, 1.0)
    out = pouring.press("accept", "no harm at this share")
    (remedy,), (taken,), (noted,) = (
        of(out, ev.RemedyChosen),
        of(out, ev.WeightTaken),
        of(out, ev.DeviationNoted),
    )
    assert (remedy.remedy, remedy.line, remedy.reason) == (ev.Remedy.ACCEPT, LINE, "no harm at this share")
    assert (taken.net_g, taken.gross_g, taken.source) == (net, exact(POT_G + net), ev.Source.MEASURED)
    assert (taken.low_g, taken.high_g, taken.target_g) == (
        water(pouring).band.low,
        water(pouring).band.high,
        water(pouring).grams,
    )
    assert noted.kind == "weight out of band"
    assert noted.grade is ev.Grade.MINOR
    assert f"{net:g} g" in noted.text
    assert "Kept by the maker: no harm at this share" in noted.text
    assert pouring.make.state.weighed_g[LINE] == net
    assert pouring.make.state.ledger.of("water-pot").content_g == pytest.approx(net)
    assert of(out, ev.ActFinished)
    assert kinds(out).index("RemedyChosen") < kinds(out).index("WeightTaken")


def test_without_a_reason_nothing_is_accepted(pouring):
    above(pouring, 1.0)
    assert pouring.press("accept") == []
    assert LINE not in pouring.make.state.weights


def test_far_too_much_accepted_is_major(pouring):
    target = water(pouring)
    net = exact(target.grams + 6 * target.margin_g)
    rest_at(pouring, net)
    out = pouring.press("accept", "the batch is thrown away anyway")
    assert [d.grade for d in of(out, ev.DeviationNoted)] == [ev.Grade.MAJOR]


def test_just_not_far_is_minor(pouring):
    target = water(pouring)
    rest_at(pouring, exact(target.grams + 4.9 * target.margin_g))
    out = pouring.press("accept", "a little")
    assert [d.grade for d in of(out, ev.DeviationNoted)] == [ev.Grade.MINOR]


def with_ceiling(percent):
    """The winter cream whose preservative may be no more than so much of the batch."""
    cream = read_procedure(find("winter-shore-cream")).procedure
    lines = tuple(
        replace(x, material=replace(x.material, use_limit_percent=percent))
        if x.key == "preservative-blend"
        else x
        for x in cream.formula.lines
    )
    return replace(cream, formula=replace(cream.formula, lines=lines))


@pytest.mark.parametrize(
    ("ceiling", "grade"), [(0.93, ev.Grade.MAJOR), (0.95, ev.Grade.MAJOR), (1.10, ev.Grade.MINOR)]
)
def test_over_its_ceiling_is_major_however_little_it_is(ceiling, grade):
    """4.70 g of 500 g is 0.94 %: over 0.93 %; over 0.95 % too, once 3 % of the water are lost; under 1.10 %."""
    bench = Bench(procedure=with_ceiling(ceiling))
    bench.to("08-weigh")
    for _ in range(9):
        if bench.make.act().key == "cautions":
            bench.press("understood")
    bench.stand(0.0, device="fine")
    boat_g = bench.make.plan.vessel("first-boat").empty_g or 12.0
    bench.place(boat_g, device="fine")
    bench.press("yes")
    bench.stand(boat_g, device="fine")
    bench.stand(exact(boat_g + 4.70), 6.0, device="fine")
    out = bench.press("accept", "a test")
    assert [d.grade for d in of(out, ev.DeviationNoted)] == [grade]


def test_while_the_scale_moves_nothing_is_accepted(pouring):
    net = above(pouring, 1.0)
    for n in range(10):
        pouring.now = round(pouring.now + 0.1, 3)
        pouring.give(pouring.grams(exact(POT_G + net + 3.0 * (n % 2))))
    assert pouring.press("accept", "now") == []


def test_in_the_band_and_below_it_there_is_nothing_to_accept(pouring):
    below(pouring, 5.0)
    assert pouring.press("accept", "enough") == []
    rest_at(pouring, water(pouring).grams, 1.0)
    assert pouring.press("accept", "enough") == []


def test_what_is_left_after_taking_some_out_may_be_accepted_too(pouring):
    above(pouring, 8.0)
    pouring.press("remove")
    assert pouring.make.state.progress.stage == "remove"
    net = to_division(water(pouring).band.high + 2.0, 0.1)
    rest_at(pouring, net)
    (taken,) = of(pouring.press("accept", "no more comes out"), ev.WeightTaken)
    assert taken.net_g == net


# --- accept less: no more left -----------------------------------------------------------------------------


def test_less_accepted_is_what_is_in_the_vessel_with_its_reason(pouring):
    net = below(pouring, 2.0)
    out = pouring.press("accept less", "the bottle is empty")
    (taken,), (noted,) = of(out, ev.WeightTaken), of(out, ev.DeviationNoted)
    assert taken.net_g == net
    assert noted.grade is ev.Grade.MINOR
    assert f"band {water(pouring).band.low:g} to {water(pouring).band.high:g} g" in noted.text
    assert "Kept by the maker: the bottle is empty" in noted.text
    assert of(out, ev.RemedyChosen)[0].remedy is ev.Remedy.ACCEPT
    assert of(out, ev.ActFinished)


def test_far_too_little_is_major(pouring):
    target = water(pouring)
    rest_at(pouring, exact(target.grams - 6 * target.margin_g))
    out = pouring.press("accept less", "the bottle is empty")
    assert [d.grade for d in of(out, ev.DeviationNoted)] == [ev.Grade.MAJOR]


def test_less_without_a_reason_is_not_accepted(pouring):
    below(pouring, 2.0)
    assert pouring.press("accept less") == []


def test_less_is_not_said_of_what_is_in_its_band_or_above(pouring):
    rest_at(pouring, to_division(water(pouring).band.low + 0.05, 0.1), 1.0)
    assert pouring.press("accept less", "it is enough") == []
    above(pouring, 1.0)
    assert pouring.press("accept less", "it is enough") == []


def test_the_glass_offers_less_only_while_something_but_too_little_is_in(pouring):
    assert "accept less" not in {c.word for c in pouring.view.act_view.choices}
    below(pouring, 2.0)
    (less,) = [c for c in pouring.view.act_view.choices if c.word == "accept less"]
    assert (less.serious, less.reason) == (True, True)
    rest_at(pouring, water(pouring).grams, 1.0)
    assert "accept less" not in {c.word for c in pouring.view.act_view.choices}
