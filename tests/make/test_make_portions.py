"""10 kg on a scale for 3 kg: how it is planned, booked and made up for, portion by portion."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_by_hand import SCALES, Bench
from large_gel import large_gel

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.inputs import LotOnHand, Scanned, Store, Tick
from benchapp.make.plan_making import make_plan
from benchapp.record.drawing_up import record_of
from benchapp.record.stored_event import StoredEvent
from procedures.batch import check_batch
from procedures.errors import ProcedureInvalid

WATER, JUG = "purified-water", "measuring-jug"
BENCH = [(3000.0, 0.1), (200.0, 0.01)]


@pytest.fixture
def pouring():
    """The empty jug (240 g) is on the scale, the first portion of water in hand."""
    bench = Bench(procedure=large_gel(), batch_g=10_000.0)
    bench.jump("02-weigh")
    bench.give(Tick(bench.now))
    bench.stand(0.0)
    bench.place(240.0)
    bench.press("yes")
    bench.stand(240.0)
    return bench


def weights(bench):
    return [e for e in bench.events if isinstance(e, ev.WeightTaken)]


def emptied(bench, left_g=6.0):
    """Poured over, and back on the scale."""
    bench.stand(0.0)
    bench.stand(240.0 + left_g)
    bench.press("it is")
    bench.press("yes")
    bench.stand(240.0 + left_g)


def test_what_no_scale_carries_is_refused_and_the_way_out_is_named():
    found = check_batch(large_gel(('jug = "measuring jug"\n', "")), 10_000.0, BENCH)
    assert {p.rule for p in found} == {"scale-capacity"}
    assert found[0].instead.endswith("or name a jug to weigh it in portions")
    assert check_batch(large_gel(), 10_000.0, BENCH) == ()


def test_a_jug_that_is_too_heavy_itself_is_refused():
    (found,) = check_batch(large_gel(('empty = "240 g"', 'empty = "2900 g"')), 10_000.0, BENCH)
    assert found.what == "Not even the measuring jug is carried by a scale for 3000 g"


def test_where_the_scale_carries_the_kettle_the_jug_stays_on_the_shelf():
    plan = make_plan(large_gel(), 10_000.0, (replace(SCALES[0], capacity_g=15_000.0), *SCALES[1:]))
    assert not plan.loads
    assert [a.key for a in Make(plan).agenda.acts["02-weigh"]][:2] == ["vessel gel-pot", f"read {WATER}"]


def test_the_plan_says_how_many_how_large_and_how_far_off():
    (words,) = [w for w in make_plan(large_gel(), 10_000.0, SCALES).warnings if "portions" in w]
    assert words == (
        "Purified water: 8720 g are weighed in 4 portions of about 2180 g, each within 21.8 g; together within 87.2 g, "
        "and 0.16 g of reading."
    )


def test_each_portion_is_booked_by_itself_and_the_later_ones_make_up_for_it(pouring):
    targets = []
    for net in (2190.0, 2170.0, 2195.0, 2165.0):
        targets.append(pouring.view.act_view.picture.target_g)
        pouring.stand(pouring.shown["big"] + net)
        if net != 2165.0:
            emptied(pouring)
    taken = weights(pouring)
    assert [(w.portion, w.portions, w.net_g, w.vessel) for w in taken] == [
        (1, 4, 2190.0, JUG), (2, 4, 2170.0, JUG), (3, 4, 2195.0, JUG), (4, 4, 2165.0, JUG),
    ]  # fmt: skip
    assert targets == [2180.0, pytest.approx(2176.7), 2180.0, 2165.0]
    assert sum(w.net_g for w in taken) == 8720.0


def test_whatever_the_portions_are_within_their_bands_the_sum_is_within_the_lines_own():
    """All at their upper limits, or all at their lower ones: the last makes up for the others."""
    for side in ("low", "high"):
        bench = Bench(procedure=large_gel(), batch_g=10_000.0)
        bench.jump("02-weigh")
        bench.give(Tick(bench.now))
        bench.stand(0.0)
        bench.place(240.0)
        bench.press("yes")
        bench.stand(240.0)
        for n in range(4):
            band = bench.view.act_view.picture
            net = round(band.low_g + 0.1, 1) if side == "low" else round(band.high_g - 0.1, 1)
            bench.stand(round(bench.shown["big"] + net, 1))
            if n < 3:
                emptied(bench)
        whole = bench.make.plan.weighings[WATER].target
        assert len(weights(bench)) == 4
        assert whole.band.holds(sum(w.net_g for w in weights(bench)))


def test_those_to_come_are_shown_as_large_as_they_will_be(pouring):
    pouring.stand(240.0 + 2190.0)
    emptied(pouring)
    assert [(x.state, x.target_g) for x in pouring.view.sheet][:4] == [
        ("done", 2180.0), ("now", pytest.approx(2176.7)), ("next", pytest.approx(2176.7)), ("next", pytest.approx(2176.7)),
    ]  # fmt: skip


def test_what_stays_in_the_jug_goes_in_with_the_next_load(pouring):
    pouring.stand(240.0 + 2180.0)
    emptied(pouring, 6.0)
    ledger = pouring.make.state.ledger
    assert (ledger.of("gel-pot").content_g, ledger.of(JUG).content_g) == (2174.0, pytest.approx(6.0))
    pouring.stand(246.0 + 2180.0)
    emptied(pouring, 4.0)
    assert (ledger.of("gel-pot").content_g, ledger.of(JUG).content_g) == (4356.0, pytest.approx(4.0))
    moved = [e for e in pouring.events if isinstance(e, ev.MassMoved)]
    assert [(e.mass_g, e.left_g, e.source) for e in moved] == [
        (2174.0, 6.0, ev.Source.MEASURED), (2182.0, 4.0, ev.Source.MEASURED),
    ]  # fmt: skip


def test_full_it_is_poured_over_and_nothing_else_is_offered(pouring):
    pouring.stand(240.0 + 2180.0)
    pouring.stand(240.0 + 2180.0)
    view = pouring.view.act_view
    assert view.instruction == "Pour the measuring jug into the gel pot."
    assert "that is all" not in [c.word for c in view.choices]


def test_too_much_is_taken_out_of_the_jug_or_accepted(pouring):
    pouring.stand(240.0 + 2230.0)
    assert [c.word for c in pouring.view.act_view.choices] == ["remove", "accept"]
    pouring.press("accept", "the next one is less")
    assert weights(pouring)[0].net_g == 2230.0
    emptied(pouring)
    assert pouring.view.act_view.picture.target_g == pytest.approx(2163.3)


def test_each_portion_may_be_of_another_lot(pouring):
    lots = tuple(LotOnHand(x, WATER, "Purified water", 3000.0) for x in ("W1", "W2"))
    pouring.make.take(Store(pouring.now, lots))
    pouring.stand(240.0 + 2180.0)
    pouring.stand(0.0)
    pouring.stand(246.0)
    pouring.press("it is")
    pouring.press("lot:W2")
    pouring.stand(246.0)
    pouring.stand(246.0 + 2180.0)
    assert [w.lot for w in weights(pouring)] == ["", "W2"]


def test_taken_up_again_it_stands_at_the_same_portion(pouring):
    pouring.stand(240.0 + 2190.0)
    emptied(pouring)
    again = Make(pouring.make.plan, pouring.events)
    assert again.state.prompt == pouring.make.state.prompt
    assert again.act().target(again.context()).grams == pytest.approx(2176.7)


def test_a_jug_is_for_what_is_too_heavy():
    with pytest.raises(ProcedureInvalid, match="A jug is for what is too heavy"):
        large_gel(('jug = "measuring jug"', 'jug = "measuring jug"\nscale = "fine"'))


def test_a_portion_out_of_two_lots_is_one_portion_in_the_record(pouring):
    lots = tuple(LotOnHand(x, WATER, "Purified water", 3000.0, code=x) for x in ("W1", "W2"))
    pouring.make.take(Store(pouring.now, lots))
    target = pouring.make.act().target(pouring.make.context()).grams
    pouring.stand(240.0 + 800.0)
    pouring.give(Scanned(pouring.now, pouring.make.state.prompt, "W2"))
    pouring.stand(240.0 + target)
    first, second = weights(pouring)
    assert (first.net_g, second.net_g, second.lot) == (800.0, pytest.approx(target - 800.0), "W2")
    assert first.portion == second.portion == 1
    (said,) = record_of(
        [StoredEvent(n, "b", n, "", e, "") for n, e in enumerate(pouring.events, 1)]
    ).portion_sums
    assert ": 1 portion, " in said
