"""Three remedies for too much of one ingredient, exact to what each scale can show."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from benchapp.calculations.overpour import BatchShare, OverpourLimits, remedies
from benchapp.calculations.scaling import scale_formula

WATER = BatchShare("water", "Water", 70.0, 350.0, 0.1, 350.0, "water pot")
OIL = BatchShare("oil", "Sunflower oil", 20.0, 100.0, 0.1, 110.0, "oil pot")
WAX = BatchShare("wax", "Emulsifying wax", 9.0, 45.0, 0.1, 45.0, "oil pot")
KEEPER = BatchShare("keeper", "Preservative", 1.0, 5.0, 0.01, None, "boat", ceiling_percent=1.0)
LINES = (WATER, OIL, WAX, KEEPER)


ANYTHING = OverpourLimits()


def test_accepting_says_which_ceilings_are_passed():
    assert remedies(LINES, "oil", ANYTHING, ("Too much.",)).accept.why_not == ("Too much.",)


IN_TWO = tuple(
    replace(x, key=f"{x.key} {n}", percent=x.percent / 2, target_g=x.target_g / 2, kettle=n, vessel=f"pot {n}",
            weighed_g=x.target_g / 2 if n == 1 else None)
    for x in (WATER, replace(OIL, target_g=100.0), WAX) for n in (1, 2)
)  # fmt: skip


def test_too_much_in_one_kettle_makes_that_one_larger_and_what_the_whole_batch_gets():
    over = tuple(replace(x, weighed_g=55.0) if x.key == "oil 1" else x for x in (*IN_TWO, KEEPER))
    keep = remedies(over, "oil 1", ANYTHING, ()).keep
    assert keep.additions_g == {"water 1": pytest.approx(17.5), "wax 1": pytest.approx(2.2, abs=0.06)}
    # By hand: 10 % more of 247.5 g; of 495 g in both kettles that is 5 %, and so much more preservative.
    assert keep.targets_g == {"keeper": pytest.approx(5.25)}
    assert keep.batch_g == pytest.approx(525.0, abs=0.1)
    assert "water 2" not in keep.targets_g, "the other kettle stays as it is"


def test_too_much_of_what_the_whole_batch_gets_makes_both_kettles_larger():
    lines = (*(replace(x, weighed_g=x.target_g) for x in IN_TWO), replace(KEEPER, weighed_g=5.5))
    additions = remedies(lines, "keeper", ANYTHING, ()).keep.additions_g
    assert additions["water 1"] == additions["water 2"] == pytest.approx(17.5)


def test_removing_wants_the_material_alone_in_its_vessel():
    remove = remedies(LINES, "oil", ANYTHING, ()).remove
    assert "Emulsifying wax is in the same vessel" in remove.why_not[0]
    alone = (WATER, OIL, replace(WAX, weighed_g=None), KEEPER)
    assert remedies(alone, "oil", ANYTHING, ()).remove.why_not == ()


def test_keeping_the_formula_raises_everything_in_the_same_proportion():
    keep = remedies(LINES, "oil", ANYTHING, ()).keep
    assert keep.batch_g == pytest.approx(550.0)
    assert keep.additions_g == pytest.approx({"water": 35.0, "wax": 4.5})
    assert keep.targets_g == pytest.approx({"keeper": 5.5})
    assert keep.why_not == ()


def test_no_wax_into_a_cold_emulsion():
    lines = (WATER, OIL, replace(WAX, may_add=False), KEEPER)
    assert remedies(lines, "oil", ANYTHING, ()).keep.why_not == (
        "No more Emulsifying wax may go in at this point.",
    )


def test_a_line_inside_its_tolerance_needs_no_addition():
    lines = (WATER, replace(OIL, weighed_g=100.5), replace(WAX, tolerance_percent=1.0, may_add=False), KEEPER)
    keep = remedies(lines, "oil", ANYTHING, ()).keep
    assert "wax" not in keep.additions_g
    assert keep.why_not == ()


@pytest.mark.parametrize(
    ("lines", "limits", "why"),
    [
        (
            (replace(WATER, stock_g=20.0), OIL, WAX, KEEPER),
            OverpourLimits(),
            "The lot of Water still holds 20 g; 35 g are needed.",
        ),
        (
            (WATER, OIL, WAX, replace(KEEPER, stock_g=5.2)),
            OverpourLimits(),
            "The lot of Preservative still holds 5.2 g; 5.5 g are needed.",
        ),
        (LINES, OverpourLimits(largest_batch_g=540.0), "The batch would be 550 g; 540 g is the most."),
        (
            LINES,
            OverpourLimits(vessel_g={"water pot": 380.0}),
            "water pot takes 380 g; 385 g would be in it.",
        ),
    ],
)
def test_every_way_in_which_it_cannot_be_kept_is_said(lines, limits, why):
    assert remedies(lines, "oil", limits, ()).keep.why_not == (why,)


def test_what_cannot_be_meant_is_refused():
    with pytest.raises(KeyError):
        remedies(LINES, "sand", ANYTHING, ())
    with pytest.raises(ValueError, match="not been weighed"):
        remedies(LINES, "keeper", ANYTHING, ())
    with pytest.raises(ValueError, match="add up to"):
        remedies(LINES[:3], "oil", ANYTHING, ())


@st.composite
def over_poured(draw):
    """A random formula scaled to a batch, some of it weighed, one line with too much of it."""
    count = draw(st.integers(2, 8))
    parts = draw(st.lists(st.integers(1, 400), min_size=count, max_size=count))
    shares = [round(100 * p / sum(parts), 2) for p in parts]
    shares[0] = round(100 - sum(shares[1:]), 2)
    batch = draw(st.integers(100, 3000))
    steps = [draw(st.sampled_from([0.01, 0.1, 1.0])) for _ in parts]
    keys = [f"line {i}" for i in range(count)]
    grams = scale_formula(
        dict(zip(keys, shares, strict=True)), float(batch), dict(zip(keys, steps, strict=True)), keys[0]
    )
    weighed = draw(st.integers(1, count))
    lines = []
    for i, key in enumerate(keys):
        stands = None
        if i < weighed:
            near = draw(st.integers(-2, 2)) if i < weighed - 1 else draw(st.integers(1, 500))
            stands = max(float(Decimal(repr(grams[key])) + near * Decimal(repr(steps[i]))), 0.0)
        ceiling = shares[i] if draw(st.booleans()) else None
        lines.append(
            BatchShare(
                key,
                key,
                shares[i],
                grams[key],
                steps[i],
                stands,
                f"pot {i % 2}",
                ceiling_percent=ceiling,
            )
        )
    return tuple(lines), keys[weighed - 1]


@settings(deadline=None)
@given(over_poured())
def test_keeping_keeps_every_share_to_a_division_of_its_scale(made):
    lines, over = made
    keep = remedies(lines, over, ANYTHING, ()).keep
    exact = max(x.weighed_g / x.percent * 100 for x in lines if x.weighed_g)
    totals = {}
    for line in lines:
        there = line.weighed_g or 0.0
        more = keep.targets_g[line.key] if line.weighed_g is None else keep.additions_g.get(line.key, 0.0)
        totals[line.key] = there + more
        assert abs(totals[line.key] - exact * line.percent / 100) <= line.readability_g * 1.0001
        assert more >= 0.0  # nothing is ever taken out
        assert Decimal(repr(more)) % Decimal(repr(line.readability_g)) == 0  # a number the scale can show
    assert keep.batch_g == pytest.approx(sum(totals.values()))


@settings(deadline=None, max_examples=30)
@given(over_poured())
def test_no_smaller_batch_keeps_the_formula(made):
    """SciPy's linear programme: the least batch in which every line's share holds what has been weighed of it."""
    lines, over = made
    least = linprog(
        [1.0], A_ub=[[-x.percent / 100] for x in lines], b_ub=[-(x.weighed_g or 0.0) for x in lines]
    )
    divisions = sum(x.readability_g for x in lines)
    assert remedies(lines, over, ANYTHING, ()).keep.batch_g == pytest.approx(least.fun, abs=divisions)
