"""Tracing: every lot forward to whoever has it, every container back to everything in it. Invented for the demo."""

from __future__ import annotations

import pytest
from workshop_days import a_month, correction, delivery, made, sent

from benchapp import events as ev
from benchapp.record import correcting, leaving
from benchapp.record.batch_code import batch_code
from benchapp.record.errors import NoSuchBatch, NoSuchLot, NotAllowed
from benchapp.record.tracing import back, forward, parted, ranges, recipients
from benchapp.record.workshop import Workshop

LOTION, PREMIX = "20260303-oat-hand-lotion-1", "20260302-rose-premix-1"


@pytest.fixture
def month(journal):
    a_month(journal)
    return journal


def test_a_lot_leads_to_its_batches_its_containers_and_who_has_them(month):
    found = forward(month, "water-9")
    (reached,) = found.reached
    assert (reached.batch.batch, reached.batch.containers, reached.here) == (LOTION, 4, (4,))
    assert {to: [(s.first, s.last) for s in sents] for to, sents in recipients(found).items()} == {
        "Ida Marsh": [(3, 3)],
        "Pier Shop": [(1, 2)],
    }


def test_a_lot_is_followed_through_the_workshops_own_premix(month):
    found = forward(month, "oil-1")
    assert [r.batch.batch for r in found.reached] == [LOTION, PREMIX]
    assert [x.lot for x in found.made] == ["pre-1"]
    assert "Pier Shop" in recipients(found)


def test_a_container_leads_back_to_every_lot_packaging_and_premix_included(month):
    found = back(month, f"{LOTION}/2")
    assert [s.to for s in found.sent] == ["Pier Shop"]
    assert [(i.batch, i.lot.lot) for i in found.inputs] == [
        (LOTION, "water-9"), (LOTION, "pre-1"), (LOTION, "jar-3"), (PREMIX, "oil-1"),
    ]  # fmt: skip


def test_forward_and_back_agree(month):
    """Each lot that leads to a batch is found from that batch, and the other way round."""
    lots = Workshop(month).lots().lots
    pairs_forward = {(lot, r.batch.batch) for lot in lots for r in forward(month, lot).reached}
    batches = {b.batch for b in month.batches()}
    pairs_back = {(i.lot.lot, b) for b in batches for i in back(month, b).inputs if i.lot}
    assert pairs_forward == pairs_back
    assert len(pairs_back) == 6


def test_the_code_on_the_label_is_as_good_as_the_batchs_name(month):
    code = batch_code(LOTION)
    assert code != LOTION
    assert back(month, f"{code}/3").batch.batch == LOTION


def test_a_circle_of_premixes_comes_to_an_end(journal):
    """Made of itself: impossible on a bench, possible by a typing error."""
    journal.append(ev.WORKSHOP, [delivery("pre-1", "rose-premix", made_in="b1")])
    made(journal, "b1", {"rose-premix": ("pre-1", 10.0)})
    assert len(forward(journal, "pre-1").reached) == 1
    assert len(back(journal, "b1").inputs) == 1


def test_rehearsals_are_made_of_nothing(journal):
    journal.append(ev.WORKSHOP, [delivery("oil-1")])
    made(journal, "b1", {"sunflower-oil": ("oil-1", 10.0)}, rehearsal=True)
    assert forward(journal, "oil-1").reached == ()
    assert back(journal, "b1").inputs == ()


def test_corrections_are_named_and_followed(month):
    shop = Workshop(month)
    n = next(
        s.n for s in month.stored(LOTION) if isinstance(s.event, ev.WeightTaken) and s.event.lot == "water-9"
    )
    shop.add(delivery("water-10", "purified-water"))
    correcting.correct(shop, LOTION, correction(n, "lot", "water-10", "the other canister", "Mara Lind"))
    old, new = forward(month, "water-9"), forward(month, "water-10")
    assert [r.batch.batch for r in new.reached] == [LOTION]
    assert old.reached == ()
    assert [(x.old, x.new, x.reason) for x in old.corrections] == [
        ("water-9", "water-10", "the other canister")
    ]


def test_a_corrected_dispatch_says_who_really_has_it(month):
    shop = Workshop(month)
    n = next(s.n for s in month.stored(LOTION) if isinstance(s.event, ev.Dispatched))
    correcting.correct(
        shop, LOTION, correction(n, "to", "Lighthouse Shop", "wrong line of the list", "Mara Lind")
    )
    assert set(recipients(forward(month, "jar-3"))) == {"Ida Marsh", "Lighthouse Shop"}


def test_what_is_not_there_is_one_sentence(month):
    with pytest.raises(NoSuchLot, match="benchapp lot list"):
        forward(month, "oil-77")
    with pytest.raises(NoSuchBatch, match="benchapp batches"):
        back(month, "nothing/3")
    with pytest.raises(NoSuchBatch, match="has 4 containers"):
        back(month, f"{LOTION}/5")


@pytest.mark.parametrize(
    ("code", "parts"), [("b/7", ("b", 7)), ("b", ("b", 0)), ("b/0", ("b/0", 0)), ("b/x", ("b/x", 0))]
)
def test_a_code_is_a_batch_and_a_number(code, parts):
    assert parted(code) == parts


def test_numbers_are_said_in_few_words():
    assert ranges([4, 1, 2, 3, 7, 9, 10]) == "1–4, 7, 9–10"
    assert ranges([]) == ""


def test_more_lots_than_a_query_takes_are_asked_for_in_turns(journal):
    """600 batches of one lot of water."""
    journal.append(ev.WORKSHOP, [delivery("water-9", "purified-water", 1e6)])
    for n in range(1, 601):
        made(journal, f"20260303-lotion-{n}", {"purified-water": ("water-9", 10.0)}, containers=1)
    assert len(forward(journal, "water-9").reached) == 600


def test_nothing_leaves_before_release_nor_twice(month):
    shop = Workshop(month)
    with pytest.raises(NotAllowed, match="not released"):
        leaving.dispatch(shop, "20260304-oat-hand-lotion-1", sent(1, 1))
    with pytest.raises(NotAllowed, match="Containers 2–3 left already"):
        leaving.dispatch(shop, LOTION, sent(2, 4))
    with pytest.raises(NotAllowed, match="containers 1 to 4"):
        leaving.dispatch(shop, LOTION, sent(4, 5))
    leaving.dispatch(shop, LOTION, sent(4, 4))
    assert forward(month, "jar-3").reached[0].here == ()


@pytest.mark.parametrize(("field", "new"), [("last", "0"), ("last", "9"), ("first", "3"), ("first", "0")])
def test_a_dispatch_is_corrected_to_containers_the_batch_has(month, field, new):
    """The first of its notes is about containers 1 and 2 of four."""
    shop = Workshop(month)
    n = next(s.n for s in month.stored(LOTION) if isinstance(s.event, ev.Dispatched))
    with pytest.raises(NotAllowed, match="has containers 1 to 4"):
        correcting.correct(shop, LOTION, correction(n, field, new))
