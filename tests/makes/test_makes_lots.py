"""A make draws from the workshop's lots: what is weighed leaves the stock, and the lot leads back to the batch."""

from __future__ import annotations

import pytest
from acting import taken_for_real
from walking import walk

from benchapp import events as ev
from benchapp.make.inputs import Press, Scanned
from benchapp.make.vocabulary import Stage
from benchapp.record import stock
from benchapp.record.journal import Journal
from benchapp.record.tracing import forward
from benchapp.record.workshop import Workshop
from benchapp.rehearsal.run import rehearse
from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from benchapp.service.lots import lots_on_hand
from drivers.simulated import DEFAULT_DEVICES, SimulatedBench


def delivery(lot: str, material: str, grams: float, expires: str = "") -> ev.LotReceived:
    return ev.LotReceived(
        at_s=0.0, lot=lot, material=material, name=material.replace("-", " "), supplier="Harbour Supplies",
        supplier_lot=f"HS-{lot}", quantity=grams, unit="g", received="2026-01-10", expires=expires, code=f"40{lot}",
    )  # fmt: skip


@pytest.fixture
def workshop(journal):
    """Water in two deliveries, glycerin expired long ago; invented for the demo."""
    shop = Workshop(journal)
    stock.receive(shop, delivery("W1", "purified-water", 5000.0))
    stock.receive(shop, delivery("W2", "purified-water", 5000.0))
    stock.receive(shop, delivery("G1", "glycerin", 900.0, expires="2020-01-31"))
    return shop


@pytest.fixture
def begun(journal, lotion):
    """A make that counts (no rehearsal in the record), its bench simulated on real ports."""
    bench = taken_for_real(SimulatedBench(seed=1, devices=DEFAULT_DEVICES))
    facts = [facts_of(d) for d in bench.bench.devices]
    session = begin(
        journal, BatchOrder(lotion, lotion.default_batch_g, facts, "Mara Lind", "b1"), lambda: bench.now_s
    )
    session.stock(lambda: lots_on_hand(journal))
    rehearsal = rehearse(bench, session, 1)
    yield rehearsal
    rehearsal.close()


def test_what_is_weighed_leaves_its_lot_and_the_lot_leads_back(workshop, begun, journal):
    walk(begun, lambda m: m.step_key == "03-weigh")
    (water,) = [
        e for e in journal.events("b1") if isinstance(e, ev.WeightTaken) and e.line == "purified-water"
    ]
    assert water.lot == "W1"
    assert workshop.lots().lots["W1"].left == pytest.approx(5000.0 - water.net_g)
    assert workshop.lots().lots["W2"].left == 5000.0


def test_an_expired_lot_stands_in_the_way_until_another_comes_in(workshop, begun, journal):
    view = walk(begun, lambda m: m.act_view.want is not None and m.act_view.want.thing == "glycerin")
    begun.session.put(Press(begun.session.clock(), view.prompt, "yes"))
    view = begun.session.view()
    assert "expired on 2020-01-31" in view.act_view.not_yet[0]
    stock.receive(workshop, delivery("G2", "glycerin", 900.0))
    begun.session.put(Scanned(begun.session.clock(), view.prompt, "40G2"))
    walk(begun, lambda m: m.prompt.startswith("03-weigh/pour"))
    taken = [e for e in journal.events("b1") if isinstance(e, ev.LotTaken) and e.line == "glycerin"]
    assert [(e.lot, e.how) for e in taken] == [("G2", "scanned")]
    assert [e.lot for e in journal.events("b1") if isinstance(e, ev.LotRefused)] == ["G1"]


def judged(lot: str) -> ev.LotJudged:
    return ev.LotJudged(at_s=0.0, lot=lot, state="quarantined", reason="a recall", by="Ines Varga")


def test_a_lot_recalled_while_it_is_asked_for_is_not_offered_any_more(workshop, begun, journal):
    view = walk(begun, lambda m: m.act_view.want is not None and m.act_view.want.thing == "purified-water")
    assert "W1" in view.act_view.choices[0].label
    stock.about_lot(workshop, judged("W1"))
    for _ in range(400):
        begun.step(0.1)
    view = begun.session.view()
    assert "W2" in view.act_view.choices[0].label
    begun.session.put(Press(begun.session.clock(), view.prompt, "yes"))
    taken = [e for e in journal.events("b1") if isinstance(e, ev.LotTaken) and e.line == "purified-water"]
    assert [e.lot for e in taken] == ["W2"]


def weighing_water(view) -> bool:
    return (
        view.prompt.startswith("02-weigh/pour purified-water")
        and (view.act_view.live[0].value or 0.0) > 150.0
    )


def test_a_second_bag_in_one_weighing_leaves_both_lots_and_both_lead_to_the_batch(workshop, begun, journal):
    view = walk(begun, weighing_water)
    for word in ("others", "lot:W2"):
        begun.session.put(Press(begun.session.clock(), begun.session.view().prompt, word))
        begun.step(0.1)
    walk(begun, lambda m: m.prompt.startswith("02-weigh/read") and "purified-water" not in m.prompt)
    parts = [e for e in journal.events("b1") if isinstance(e, ev.WeightTaken) and e.line == "purified-water"]
    assert [p.lot for p in parts] == ["W1", "W2"]
    assert all(p.net_g > 0 for p in parts)
    lots = workshop.lots().lots
    assert [5000.0 - lots[p.lot].left for p in parts] == pytest.approx([p.net_g for p in parts])
    assert sum(p.target_g for p in parts) == pytest.approx(view.act_view.picture.target_g)
    for lot in ("W1", "W2"):
        assert [x.batch.batch for x in forward(journal, lot).reached] == ["b1"]


def recalled_while_pouring(begun, journal):
    """Half of the water is in and the hands rest; another connection puts its lot in quarantine. The view that asks about it."""
    view = walk(begun, weighing_water)
    begun.hands.away = True
    begun.bench.world.stop_hands()
    other = Journal(journal.path.parent, journal.wall)
    stock.about_lot(Workshop(other), judged("W1"))
    other.close()
    for _ in range(400):
        view = begun.step(0.1)
        if view.act_view.stage == Stage.REFUSED:
            return view
    pytest.fail(f"nobody heard of it; stands at {view.act_view.instruction}")


def test_a_lot_recalled_from_elsewhere_stops_a_live_pour_and_another_goes_on(workshop, begun, journal):
    view = recalled_while_pouring(begun, journal)
    assert view.act_view.not_yet[0].startswith("Lot W1 of purified water is in quarantine (a recall).")
    begun.session.put(Press(begun.session.clock(), view.prompt, "lot:W2"))
    begun.hands.away = False
    walk(begun, lambda m: m.prompt.startswith("02-weigh/read") and "purified-water" not in m.prompt)
    parts = [e for e in journal.events("b1") if isinstance(e, ev.WeightTaken) and e.line == "purified-water"]
    assert [(p.lot, p.source) for p in parts] == [("W1", ev.Source.MEASURED), ("W2", ev.Source.MEASURED)]
    lots = workshop.lots().lots
    assert [5000.0 - lots[p.lot].left for p in parts] == pytest.approx([p.net_g for p in parts])
    said = [d.kind for d in journal.events("b1") if isinstance(d, ev.DeviationNoted)]
    assert [kind for kind in said if kind.startswith("lot")] == []


def test_a_lot_recalled_from_elsewhere_is_poured_on_for_a_reason_that_is_major(workshop, begun, journal):
    view = recalled_while_pouring(begun, journal)
    begun.session.put(Press(begun.session.clock(), view.prompt, "use anyway", "recalled for its label alone"))
    begun.hands.away = False
    walk(begun, lambda m: m.prompt.startswith("02-weigh/read") and "purified-water" not in m.prompt)
    parts = [e for e in journal.events("b1") if isinstance(e, ev.WeightTaken) and e.line == "purified-water"]
    assert [p.lot for p in parts] == ["W1"]
    said = [(d.grade, d.kind) for d in journal.events("b1") if isinstance(d, ev.DeviationNoted)]
    assert (ev.Grade.MAJOR, "lot not usable") in said
