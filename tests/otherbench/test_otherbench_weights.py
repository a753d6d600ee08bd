"""Weights provoked on the independent bench: what the record says is held against what truly lies in the vessels."""

from __future__ import annotations

import pytest

WAX, OIL_POT = "emulsifying-wax", "oil-pot"


def recorded(maker, *lines):
    weighed = maker.bench.session.make.state.weighed_g
    return {k: weighed[k] for k in lines or weighed}


def truth(maker, vessel):
    return maker.bench.vessel(vessel).contents_g


def deviations(maker):
    return [(str(d.grade), d.kind) for d in maker.bench.session.make.state.deviations]


def in_band(maker, vessel):
    """Whether every line truly lies in the band it was weighed to."""
    plan = maker.bench.session.make.plan
    return {k: plan.weighings[k].target.band.holds(g) for k, g in truth(maker, vessel).items()}


@pytest.fixture
def half_poured(maker):
    """15 of 22.5 g of wax are in the oil pot, on top of three oils; the pot is in the maker's hand."""
    maker.until(maker.pouring(WAX))
    maker.pour(WAX, OIL_POT, 15.0)
    maker.wait(6.0)
    maker.lift("large scale")
    maker.wait(3.0)
    return maker


def lose(maker, grams, line=""):
    pot = maker.bench.vessel(OIL_POT)
    if line:
        pot.contents_g[line] -= grams
    else:
        pot.take_out(grams)
    maker.put("large scale", OIL_POT)
    maker.wait(4.0)


def to_the_end_of_the_step(maker):
    step = maker.bench.view.step_key
    maker.until(lambda: maker.bench.view.step_key != step)


def test_what_was_spilled_of_a_mixture_is_made_good_line_by_line(half_poured):
    maker = half_poured
    lose(maker, 6.0)
    assert {"spilled", "tool", "look again", "unknown"} == maker.offered()
    maker.press("spilled")
    maker.press("mixed")
    maker.press("keep")
    to_the_end_of_the_step(maker)
    held = truth(maker, OIL_POT)
    assert recorded(maker, *held) == pytest.approx(held, abs=0.25)
    assert all(in_band(maker, OIL_POT).values())
    assert ("minor", "spilled") in deviations(maker)


def test_what_was_spilled_of_one_line_alone_is_poured_again(half_poured):
    maker = half_poured
    lose(maker, 6.0, WAX)
    maker.press("spilled")
    maker.press(f"only:{WAX}")
    maker.until(maker.done(WAX))
    held = truth(maker, OIL_POT)
    assert recorded(maker, *held) == pytest.approx(held, abs=0.15)
    assert held[WAX] == pytest.approx(22.5, abs=0.3)


def test_what_nobody_knows_stays_unknown(half_poured):
    maker = half_poured
    lose(maker, 6.0)
    maker.press("unknown")
    to_the_end_of_the_step(maker)
    assert ("major", "spilled") in deviations(maker)
    text = next(d.text for d in maker.bench.session.make.state.deviations if d.kind == "spilled")
    assert "nobody knows of what" in text
    # The wax was counted on from where it stood: what is missing is missing of everything, and said so.
    assert recorded(maker, WAX)[WAX] == pytest.approx(truth(maker, OIL_POT)[WAX] + 6.0 * 15 / 70, abs=0.3)


def test_a_spatula_left_in_the_pot_is_no_ingredient(half_poured):
    maker = half_poured
    maker.bench.vessel(OIL_POT).empty_g += 18.4
    maker.put("large scale", OIL_POT)
    maker.wait(4.0)
    assert maker.offered() == {"poured on", "tool", "look again", "unknown"}
    maker.press("tool")
    to_the_end_of_the_step(maker)
    held = truth(maker, OIL_POT)
    assert recorded(maker, *held) == pytest.approx(held, abs=0.15)


def test_what_was_poured_away_from_the_scale_is_counted(half_poured):
    maker = half_poured
    maker.bench.vessel(OIL_POT).contents_g[WAX] += 4.0
    maker.put("large scale", OIL_POT)
    maker.wait(4.0)
    maker.press("poured on")
    maker.until(maker.done(WAX))
    held = truth(maker, OIL_POT)
    assert recorded(maker, *held) == pytest.approx(held, abs=0.15)


def test_a_pot_that_comes_back_as_it_went_is_asked_nothing(half_poured):
    maker = half_poured
    before = len(maker.asked)
    maker.put("large scale", OIL_POT)
    maker.until(maker.done(WAX))
    assert [said for said in maker.asked[before:] if "What" in said[0]] == []


@pytest.mark.parametrize("grams", [150.0, 260.0])
def test_a_wrong_vessel_is_one_deviation_however_often_it_is_affirmed(half_poured, grams):
    maker = half_poured
    maker.bench.scale("large scale").extra_g = grams
    for _ in range(22):
        maker.wait(3.0)
        if "unknown" in maker.offered():
            maker.press("unknown")
    assert [kind for _, kind in deviations(maker)].count("vessel mass") <= 1
    assert len([d for d in deviations(maker) if d[1] in ("vessel mass", "spilled")]) == 1
