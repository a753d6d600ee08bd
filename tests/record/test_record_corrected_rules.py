"""A correction is held to the rules of whoever writes such an event in the first place. Invented for the demo."""

from __future__ import annotations

import pytest
from desk_commands import BATCH, sign
from workshop_days import a_month, correction, delivery

from benchapp import events as ev
from benchapp.record import correcting, leaving
from benchapp.record.errors import NoSuchBatch, NotAllowed
from benchapp.record.tracing import back
from benchapp.record.workshop import Workshop
from benchapp.service.procedure_facts import record_in
from benchapp.service.tracing import Tracing

LOTION, PREMIX = "20260303-oat-hand-lotion-1", "20260302-rose-premix-1"


@pytest.fixture
def shop(journal):
    a_month(journal)
    return Workshop(journal)


def number_of(shop, batch, kind, nth=0):
    return [s.n for s in shop.journal.of_kinds([kind], batch)][nth]


def refused(shop, batch, n, field, new, why, error=NotAllowed):
    before = shop.journal.last(batch)
    with pytest.raises(error, match=why):
        correcting.correct(shop, batch, correction(n, field, new))
    assert shop.journal.last(batch) == before


def test_nothing_was_done_on_a_day_to_come(shop):
    shop.add(
        ev.CareDone(
            at_s=0.0,
            equipment="big scale",
            task="calibration",
            on="2026-02-20",
            words="ok",
            passed=True,
            by="M",
        )
    )
    for batch, kind, field in (
        (ev.WORKSHOP, ev.CareDone, "on"),
        (ev.WORKSHOP, ev.LotReceived, "received"),
        (LOTION, ev.Dispatched, "on"),
    ):
        refused(shop, batch, number_of(shop, batch, kind), field, "2062-02-20", "2062-02-20 is still to come")


def test_a_note_of_dispatch_is_corrected_to_no_more_containers_than_are_here(shop):
    """Containers 1 and 2 went to one shop, 3 to another, 4 is kept back."""
    kept = ev.SampleRetained(at_s=0.0, pieces=1, where="cupboard", until="2099-01-01", by="Mara Lind")
    leaving.retain(shop, LOTION, kept)
    refused(shop, LOTION, number_of(shop, LOTION, ev.Dispatched, 1), "last", "4", "1 more are not here")
    refused(shop, LOTION, number_of(shop, LOTION, ev.SampleRetained), "pieces", "2", "1 more are not here")
    refused(
        shop, LOTION, number_of(shop, LOTION, ev.Dispatched), "customer", " ", "customer cannot be nothing"
    )


def test_a_container_on_two_notes_is_one_to_ask_about(shop):
    correcting.correct(shop, LOTION, correction(number_of(shop, LOTION, ev.Dispatched, 1), "first", "2"))
    assert any(
        "2 to call about 3 containers" in line for line in Tracing(shop.journal).recall("water-9").lines
    )


def test_a_complaint_is_corrected_to_a_container_that_the_batch_has(shop):
    said = ev.ComplaintReceived(
        at_s=0.0, number=1, container=2, words="It leaks.", effect=False, serious=False, sender="", on="2026-02-28",
        by="Mara Lind",
    )  # fmt: skip
    shop.add_to(LOTION, said)
    n = number_of(shop, LOTION, ev.ComplaintReceived)
    refused(shop, LOTION, n, "container", "5", "has containers 1 to 4")
    refused(shop, LOTION, n, "bench", "E", "Nobody read or said bench")


@pytest.mark.parametrize(
    ("kind", "lot", "unit"), [(ev.PiecesUsed, "oil-1", "g"), (ev.WeightTaken, "jar-3", "pieces")]
)
def test_pieces_come_from_no_lot_that_is_weighed_nor_grams_from_one_that_is_counted(shop, kind, lot, unit):
    left = {x.lot: x.left for x in shop.lots().lots.values()}
    refused(shop, LOTION, number_of(shop, LOTION, kind), "lot", lot, f"{lot} is kept in {unit}")
    assert {x.lot: x.left for x in shop.lots().lots.values()} == left


def test_a_delivery_is_never_corrected_to_come_on_tap_nor_what_is_on_tap_to_a_quantity(shop):
    refused(shop, ev.WORKSHOP, 1, "quantity", "0", "on tap has no quantity")
    shop.add(delivery("house water", "purified-water", 0.0))
    n = shop.journal.last(ev.WORKSHOP).n
    refused(shop, ev.WORKSHOP, n, "quantity", "500", "on tap has no quantity")


def test_a_lot_is_opened_anew_and_not_under_another_name(shop):
    """The correction would stand in the chain and count nowhere."""
    shop.add(ev.LotOpened(at_s=0.0, lot="oil-1", on="2026-02-20"))
    refused(shop, ev.WORKSHOP, shop.journal.last(ev.WORKSHOP).n, "lot", "oil-2", "no lot 'oil-2'")


def test_a_lot_of_ones_own_was_made_in_a_batch_that_there_is(shop):
    n = number_of(shop, ev.WORKSHOP, ev.LotReceived, -1)
    refused(shop, ev.WORKSHOP, n, "made_in", "nowhere", "no batch 'nowhere'", NoSuchBatch)


def test_who_signed_stays(shop):
    for batch, kind in ((LOTION, ev.Dispatched), (ev.WORKSHOP, ev.LotReceived), (LOTION, ev.PiecesUsed)):
        refused(shop, batch, number_of(shop, batch, kind), "by", "Jonas", "Who signed it stays")


def test_a_weighing_is_corrected_to_a_line_of_its_procedure_by_name_or_key(finished):
    """A mistyped one would be no ingredient that any label knows."""
    n = "3"
    code, said = sign(finished, "correct", BATCH, n, "ingredient", "shea buter", "--reason", "the other tub")
    assert (code, "no line 'shea buter'; it has" in said) == (3, True)
    code, said = sign(finished, "correct", BATCH, n, "ingredient", "Shea butter", "--reason", "the other tub")
    assert (code, "is shea-butter" in said) == (0, True)


def test_the_material_of_a_delivery_is_corrected_to_one_that_there_is(finished):
    def fix(new):
        return sign(finished, "correct", "workshop", "3", "material", new, "--reason", "the other can")

    code, said = fix("sheabutter")
    assert (code, "No material is called 'sheabutter'" in said) == (3, True)
    assert fix("Shea butter")[0] == 0
    assert "shea-butter" in finished("lot", "list")[1]


def test_a_maker_does_not_set_a_lot_free_by_a_correction(finished):
    """Judging a lot takes a releaser, whichever way it is done."""
    assert (
        finished("person", "enrol", "Ida", "--role", "maker", "--by", "Mara", keyed="4711\n9052\n9052\n")[0]
        == 0
    )
    receive = (
        "lot",
        "receive",
        "oil-2",
        "sunflower-oil",
        "1 kg",
        "--supplier",
        "Harbour Oils",
        "--quarantine",
    )
    assert sign(finished, *receive)[0] == 0
    free = ("correct", "workshop", "5", "state", "usable", "--reason", "typed by mistake")
    code, said = finished(*free, "--by", "Ida", keyed="9052\n")
    assert code == 3, said
    assert "quarantined" in finished("lot", "list")[1]
    assert sign(finished, *free)[0] == 0


@pytest.mark.parametrize("new", ["１２", "1_0", "1e300", "0x10", "12345678901"])
def test_a_number_is_typed_in_plain_digits(shop, new):
    """Python reads most of these as numbers; nobody reads them off a scale."""
    refused(shop, LOTION, number_of(shop, LOTION, ev.WeightTaken), "net_g", new, "is a number;")


@pytest.mark.parametrize("n", [10**20, -(10**20), 2**63])
def test_an_event_of_a_number_that_no_journal_reaches_is_not_there(shop, n):
    refused(shop, LOTION, n, "net_g", "3", "has no event")


def test_a_lot_that_only_a_trial_was_dosed_from_stands_among_the_batchs_lots_as_corrected(shop):
    shop.add(delivery("acid-1", "acid"), delivery("acid-2", "acid"))
    trial = ev.TrialDosed(
        at_s=4.0, step="08-ph", act="trial", line="acid", mass_g=0.5, source=ev.Source.MEASURED, device="big",
        lot="acid-1",
    )  # fmt: skip
    shop.journal.append(LOTION, [trial])
    n = shop.journal.last(LOTION).n
    correcting.correct(shop, LOTION, correction(n, "lot", "acid-2"))
    (lot,) = (x for x in record_in(shop.journal, LOTION).lots if x["what"] == "acid")
    assert (lot["lot"], lot["drawn_g"], lot["supplier"]) == ("acid-2", 0.5, "Harbour Oils")
    assert "acid-2" in {i.use.lot for i in back(shop.journal, LOTION).inputs}
