"""Lots: stock follows from what was weighed, spoiled, counted and corrected; which may be used, and why not."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from workshop_days import a_month, correction, delivery, in_hand, started, weight

from benchapp import events as ev
from benchapp.record import correcting, stock
from benchapp.record.errors import NotAllowed
from benchapp.record.lots import after, drawn, received
from benchapp.record.workshop import Workshop
from benchapp.service.lots import LotDesk

TODAY = "2026-03-01"


@pytest.fixture
def shop(journal):
    workshop = Workshop(journal)
    workshop.add(delivery("oil-1"))
    return workshop


def left(shop, lot="oil-1"):
    return shop.lots().lots[lot].left


def make(shop, *events, batch="b1", rehearsal=False):
    shop.journal.append(batch, [started(batch, rehearsal=rehearsal), *events])


def test_what_is_weighed_out_of_a_lot_is_gone(shop):
    make(shop, in_hand("oil-1"), weight("oil-1", 120.5))
    assert left(shop) == 879.5


def test_a_rehearsal_draws_nothing(shop):
    make(shop, in_hand("oil-1"), weight("oil-1", 120.5), rehearsal=True)
    assert left(shop) == 1000.0


def test_waste_leaves_the_lot_too(shop):
    waste = ev.MaterialRemoved(at_s=2.0, step="02-weigh", line="sunflower-oil", vessel="pot", removed_g=8.0)
    make(shop, in_hand("oil-1"), waste, weight("oil-1", 100.0))
    assert left(shop) == 892.0


def test_what_goes_into_a_trial_sample_leaves_the_lot_too(shop):
    tried = ev.TrialDosed(
        at_s=2.0, step="08-ph", act="ph", line="sunflower-oil", mass_g=0.5, source=ev.Source.MEASURED,
        device="fine", lot="oil-1",
    )  # fmt: skip
    make(shop, in_hand("oil-1"), tried)
    assert left(shop) == 999.5
    correcting.correct(shop, "b1", correction(3, "mass_g", "1.5", "misread", "Mara"))
    assert left(shop) == 998.5


def test_waste_and_a_late_drop_go_to_the_lot_that_was_in_hand_last(shop):
    shop.add(delivery("oil-2"))
    waste = ev.MaterialRemoved(at_s=2.0, step="02-weigh", line="sunflower-oil", vessel="pot", removed_g=8.0)
    drop = ev.LateDropFound(
        at_s=2.0, step="02-weigh", line="sunflower-oil", vessel="pot", device="big", drop_g=0.3
    )
    make(shop, in_hand("oil-1"), weight("oil-1", 30.0), in_hand("oil-2"), waste, weight("oil-2", 70.0), drop)
    assert (left(shop), left(shop, "oil-2")) == (970.0, 921.7)


def test_a_weight_without_a_lot_draws_from_none(shop):
    make(shop, in_hand(""), weight("", 30.0))
    assert left(shop) == 1000.0


def test_a_stated_weight_that_was_taken_back_was_never_drawn(shop):
    began = ev.ActBegan(at_s=1.0, step="02-weigh", act="pour")
    back = ev.ActTakenBack(at_s=2.0, step="02-weigh", act="pour")
    first, second = weight("oil-1", 300.0, source=ev.Source.STATED), weight("oil-1", 30.0)
    make(shop, in_hand("oil-1"), began, first, back, began, second)
    assert left(shop) == 970.0


def test_pieces_leave_good_or_spoiled(shop):
    shop.add(delivery("jar-3", "jar-100", 200, unit="pieces"))
    make(shop)
    jars = ev.PiecesUsed(at_s=0.0, lot="jar-3", material="jar-100", pieces=5, spoiled=1, by="Mara")
    stock.use_pieces(shop, "b1", jars)
    assert left(shop, "jar-3") == 195


def test_a_count_is_what_is_there_now(shop):
    make(shop, in_hand("oil-1"), weight("oil-1", 120.0))
    stock.about_lot(
        shop, ev.LotCounted(at_s=0.0, lot="oil-1", quantity=850.0, reason="weighed again", by="Mara")
    )
    make(shop, in_hand("oil-1"), weight("oil-1", 50.0), batch="b2")
    assert left(shop) == 800.0


def test_a_correction_of_the_lot_moves_what_was_drawn(shop):
    shop.add(delivery("oil-2"))
    make(shop, in_hand("oil-1"), weight("oil-1", 120.0))
    assert (
        correcting.correct(shop, "b1", correction(3, "lot", "oil-2", "read off the wrong can", "Mara")).old
        == "oil-1"
    )
    assert (left(shop), left(shop, "oil-2")) == (1000.0, 880.0)
    assert (
        correcting.correct(shop, "b1", correction(3, "net_g", "100", "tare forgotten", "Mara")).old == "120.0"
    )
    assert (left(shop), left(shop, "oil-2")) == (1000.0, 900.0)


def test_a_correction_from_before_a_count_leaves_the_count_alone(shop):
    make(shop, in_hand("oil-1"), weight("oil-1", 120.0))
    stock.about_lot(shop, ev.LotCounted(at_s=0.0, lot="oil-1", quantity=850.0, reason="", by="Mara"))
    correcting.correct(shop, "b1", correction(3, "net_g", "100", "tare forgotten", "Mara"))
    assert left(shop) == 850.0


def test_a_corrected_delivery_changes_the_book(shop):
    correcting.correct(shop, ev.WORKSHOP, correction(1, "expires", "2026-02-15", "misread", "Mara"))
    correcting.correct(shop, ev.WORKSHOP, correction(1, "quantity", "900", "misread", "Mara"))
    lot = shop.lots().lots["oil-1"]
    assert (lot.expires, lot.quantity, lot.left) == ("2026-02-15", 900.0, 900.0)
    assert "expired on 2026-02-15" in shop.lots().usable("oil-1", TODAY)


@pytest.mark.parametrize(("field", "new"), [("opened", "2026-02-03"), ("state", "quarantined")])
def test_whatever_of_a_delivery_is_corrected_stands_in_the_book(shop, field, new):
    correcting.correct(shop, ev.WORKSHOP, correction(1, field, new))
    assert getattr(shop.lots().lots["oil-1"], field) == new


def test_a_corrected_delivery_leaves_what_was_said_of_the_lot_since(shop):
    stock.about_lot(shop, judged("rejected"))
    stock.about_lot(shop, ev.LotOpened(at_s=0.0, lot="oil-1", on="2026-02-05"))
    for field, new in (("state", "quarantined"), ("opened", "2026-02-03")):
        correcting.correct(shop, ev.WORKSHOP, correction(1, field, new))
    lot = shop.lots().lots["oil-1"]
    assert (lot.state, lot.opened) == ("rejected", "2026-02-05")


def test_a_corrected_opening_changes_the_book(shop):
    stock.about_lot(shop, ev.LotOpened(at_s=0.0, lot="oil-1", on="2026-02-05"))
    correcting.correct(shop, ev.WORKSHOP, correction(2, "on", "2026-02-04"))
    assert shop.lots().lots["oil-1"].opened == "2026-02-04"


def test_what_stands_until_it_is_said_anew_is_said_anew_and_not_corrected(shop):
    """A correction of it would stand in the chain and count nowhere."""
    count = ev.LotCounted(at_s=0.0, lot="oil-1", quantity=850.0, reason="", by="Mara")
    price = ev.LotPriced(at_s=0.0, lot="oil-1", price=20.0, currency="EUR", by="Mara")
    for n, (event, field, new) in enumerate(
        ((count, "quantity", "800"), (price, "price", "18"), (judged("rejected"), "state", "usable")), 2
    ):
        stock.about_lot(shop, event)
        with pytest.raises(NotAllowed, match="say it anew"):
            correcting.correct(shop, ev.WORKSHOP, correction(n, field, new))


@pytest.mark.parametrize(
    ("field", "new", "why"),
    [
        ("quantity", "-5", "cannot be less than 0"),
        ("state", "splendid", "A lot is judged one of"),
        ("expires", "soon", "is no date"),
        ("expires", "31.1.2027", "is no date"),
        ("received", "", "is no date"),
        ("unit", "buckets", "Nobody read or said unit"),
    ],
)
def test_a_delivery_is_never_corrected_to_what_none_can_be(shop, field, new, why):
    """A word in place of a date would never be past."""
    with pytest.raises(NotAllowed, match=why):
        correcting.correct(shop, ev.WORKSHOP, correction(1, field, new))


def test_a_delivery_may_turn_out_to_keep_for_ever(shop):
    correcting.correct(shop, ev.WORKSHOP, correction(1, "expires", ""))
    assert shop.lots().usable("oil-1", "2099-01-01") == ""


@pytest.mark.parametrize(("field", "new"), [("spoiled", "6"), ("spoiled", "-1"), ("pieces", "0")])
def test_pieces_are_not_corrected_to_what_could_not_be_written_down(shop, field, new):
    shop.add(delivery("jar-3", "jar-100", 200, unit="pieces"))
    make(shop)
    jars = ev.PiecesUsed(at_s=0.0, lot="jar-3", material="jar-100", pieces=5, spoiled=1, by="Mara")
    stock.use_pieces(shop, "b1", jars)
    with pytest.raises(NotAllowed, match=r"At least one piece|cannot be less"):
        correcting.correct(shop, "b1", correction(2, field, new))


def test_a_lot_that_was_judged_used_up_says_what_brings_it_back(shop):
    """It said to count it again, and no count did it."""
    stock.about_lot(shop, judged("used up"))
    stock.about_lot(shop, ev.LotCounted(at_s=0.0, lot="oil-1", quantity=500.0, reason="", by="Mara"))
    assert shop.lots().usable("oil-1", TODAY).endswith("or have it judged usable.")
    stock.about_lot(shop, judged("usable"))
    assert (shop.lots().usable("oil-1", TODAY), left(shop)) == ("", 500.0)


def test_who_may_do_what_is_granted_anew_and_not_corrected(shop):
    granted = ev.CompetenceGranted(
        at_s=0.0, who="Jonas", step_kind="weigh", level="alone", by="Mara", reason="seen"
    )
    shop.add(granted)
    with pytest.raises(NotAllowed, match="say it anew"):
        correcting.correct(shop, ev.WORKSHOP, correction(2, "who", "Ida"))


amounts = st.floats(0.01, 500.0).map(lambda x: round(x, 2))


@given(st.lists(st.tuples(st.sampled_from(["use", "count", "correct"]), amounts), max_size=12))
def test_what_is_left_is_the_last_count_less_what_was_drawn_since(steps):
    """Against a plain sum kept beside it."""
    lot, expected = received(delivery("oil-1")), 1000.0
    for at, (what, grams) in enumerate(steps, 1):
        if what == "count":
            lot = after(lot, ev.LotCounted(at_s=0.0, lot="oil-1", quantity=grams, reason="", by=""), at)
            expected = grams
        else:
            sign = 1 if what == "use" else -1
            lot, expected = drawn(lot, [(sign * grams, at)]), expected - sign * grams
    assert lot.left == pytest.approx(expected, abs=1e-3)


def judged(state):
    return ev.LotJudged(at_s=0.0, lot="oil-1", state=state, reason="smells rancid", by="Mara")


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (None, ""),
        (judged("quarantined"), "in quarantine (smells rancid)"),
        (judged("rejected"), "was rejected (smells rancid)"),
        (judged("used up"), "is empty by the book"),
        (ev.LotCounted(at_s=0.0, lot="oil-1", quantity=0.0, reason="", by=""), "is empty by the book"),
    ],
)
def test_which_lots_may_be_used_and_why_not(shop, change, why):
    if change is not None:
        stock.about_lot(shop, change)
    said = shop.lots().usable("oil-1", TODAY)
    assert (why in said) if why else said == ""


@pytest.mark.parametrize(("today", "fine"), [("2027-02-01", True), ("2027-02-02", False)])
def test_a_lot_is_good_through_the_day_on_its_label(shop, today, fine):
    assert (shop.lots().usable("oil-1", today) == "") is fine


def test_a_lot_nobody_received_is_not_usable(shop):
    assert "No lot oil-9 was ever received" in shop.lots().usable("oil-9", TODAY)


def test_the_lots_of_a_material_stand_newest_first(journal):
    a_month(journal)
    shop = Workshop(journal)
    assert [x.lot for x in shop.lots().of_material("sunflower-oil")] == ["oil-2", "oil-1"]


def test_a_date_that_an_older_program_let_be_corrected_into_none_bars_the_lot_and_says_what_to_do(
    shop, journal
):
    receipt = journal.of_kinds([ev.LotReceived], ev.WORKSHOP)[0].n
    old = ev.Corrected(
        at_s=0.0, n=receipt, field="expires", old="2027-02-01", new="Feb 27", reason="a slip", by="Mara Lind"
    )
    journal.append(ev.WORKSHOP, [old])
    book = shop.lots()
    assert book.hindrance("oil-1", TODAY) == "date unreadable"
    said = book.usable("oil-1", TODAY)
    assert said.startswith("Lot oil-1 of sunflower oil keeps until 'Feb 27', which is no date.")
    assert "receive what is left under another name" in said
    (shown,) = LotDesk(journal).lots()
    assert (shown.days, shown.soon, shown.barred, shown.against) == (None, False, "date unreadable", said)
    assert LotDesk(journal).near_their_date() == ()
    correcting.correct(shop, ev.WORKSHOP, correction(receipt, "expires", "2027-02-01", "as it stands on it", "Mara Lind"))  # fmt: skip
    assert shop.lots().usable("oil-1", TODAY) == ""
