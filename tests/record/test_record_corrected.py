"""A correction counts everywhere: band, label, yield, trace, stock and release all read the value as it stands."""

from __future__ import annotations

import csv
import dataclasses
import io
import json

import pytest
from workshop_days import FINISHED, correction, delivery, filled, in_hand, sent, started, weight

from benchapp import events as ev
from benchapp.make.acts.lot import parted as parted_into
from benchapp.make.state import LotBefore
from benchapp.record import correcting, deciding, leaving
from benchapp.record.documents.as_csv import BOM, as_csv
from benchapp.record.documents.as_json import as_json
from benchapp.record.errors import NotAllowed
from benchapp.record.label import label_from
from benchapp.record.tracing import back, forward
from benchapp.service.desk import Desk
from benchapp.service.labels import draft_of
from benchapp.service.procedure_facts import record_in

BATCH = "20260303-oat-hand-lotion-1"
#: The events of the batch below, by their numbers.
OIL, PRESERVATIVE, JAR_1, END = 3, 5, 6, 8


@pytest.fixture
def desk(journal, lotion):
    """A batch of oil and 4.5 g of preservative, in two jars, and a person who may release it."""
    one = Desk(journal)
    mara = ev.PersonEnrolled(at_s=0.0, who="Mara Lind", roles=("releaser", "maker"), pin="x", by="Mara Lind")
    one.records.add(delivery("oil-1"), delivery("oil-2"), delivery("pre-1", "preservative"), mara)
    events = [
        dataclasses.replace(started(BATCH), procedure_text=lotion.text), in_hand("oil-1"), weight("oil-1", 195.0), in_hand("pre-1", "preservative"),
        weight("pre-1", 4.5, "preservative"), filled(1), filled(2),
        ev.MakeFinished(at_s=4.0, product_g=200.0, yield_percent=40.0),
    ]  # fmt: skip
    journal.append(BATCH, events)
    return one


@pytest.fixture
def shop(desk):
    return desk.records


def record(shop):
    return record_in(shop.journal, BATCH)


def against(shop):
    return deciding.against(shop, BATCH, "released", "Mara Lind")


def correct(shop, n, field, new):
    correcting.correct(shop, BATCH, correction(n, field, new, "misread", "Jonas"))


def test_a_batch_that_was_not_corrected_has_no_deviation(shop):
    assert shop.standing(BATCH).deviations == ()
    assert record(shop).deviations == ()


def test_a_corrected_weight_is_judged_again_and_keeps_the_batch_until_it_is_accepted(shop):
    correct(shop, PRESERVATIVE, "net_g", "0.5")
    (found,) = shop.standing(BATCH).blocking
    assert (found.grade, found.number) == (ev.Grade.MAJOR, 1)
    for words in ("preservative", "from 4.5 to 0.5", "outside 3.5 to 5.5", "misread (Jonas)"):
        assert words in found.text
    assert any("Deviation 1 (major) is open" in why for why in against(shop))
    deciding.close_deviation(shop, BATCH, 1, "challenge test holds at 0.1 %", "Mara Lind")
    assert not any("Deviation" in why for why in against(shop))
    assert record(shop).deviations[0]["closed_why"] == "challenge test holds at 0.1 %"


def test_one_that_is_within_its_band_is_looked_at_all_the_same(shop):
    correct(shop, PRESERVATIVE, "net_g", "4,6")
    assert "from 4.5 to 4.6" in shop.standing(BATCH).blocking[0].text, (
        "typed with a comma, as it may be everywhere"
    )
    assert [d.grade for d in shop.standing(BATCH).blocking] == [ev.Grade.MINOR]


def test_nothing_more_of_a_released_batch_leaves_while_a_correction_is_open(shop):
    shop.add_to(
        BATCH, ev.BatchDecided(at_s=0.0, decision="released", reason="", by="Mara Lind", role="releaser")
    )
    leaving.dispatch(shop, BATCH, sent(1, 1))
    correct(shop, PRESERVATIVE, "net_g", "0.5")
    with pytest.raises(NotAllowed, match="Deviation 1 came up since"):
        leaving.dispatch(shop, BATCH, sent(2, 2))
    deciding.close_deviation(shop, BATCH, 1, "still enough", "Mara Lind")
    leaving.dispatch(shop, BATCH, sent(2, 2))


def test_every_document_has_the_value_that_was_written_and_the_one_that_stands(shop):
    correct(shop, PRESERVATIVE, "net_g", "0.5")
    line = record(shop).weighings[1]
    assert (line.value, line.now, line.outside) == (4.5, 0.5, True)
    data = json.loads(as_json(record(shop)))
    assert (data["weighings"][1]["actual_g"], data["weighings"][1]["stands_at"]) == (4.5, 0.5)
    rows = [r for r in csv.DictReader(io.StringIO(as_csv(record(shop)).removeprefix(BOM))) if r["section"] == "weighing"]  # fmt: skip
    assert (rows[1]["value"], rows[1]["stands_at"]) == ("4.5", "0.5")


def test_the_yield_and_the_list_follow_a_corrected_container(shop):
    correct(shop, JAR_1, "net_g", "90")
    found = record(shop)
    assert (found.product_g, found.yield_percent) == (190.0, 38.0)
    assert shop.journal.batch(BATCH).product_g == 190.0
    assert shop.standing(BATCH).blocking[0].grade is ev.Grade.MAJOR  # under its own lower limit


def test_a_weighing_that_was_of_another_line_counts_for_that_one(shop):
    correct(shop, OIL, "line", "shea-butter")
    assert record(shop).grams == {"shea-butter": 195.0, "preservative": 4.5}


def test_a_corrected_lot_is_traced_and_known_to_the_record(shop):
    correct(shop, OIL, "lot", "oil-2")
    assert {i.use.lot for i in back(shop.journal, BATCH).inputs} == {"oil-2", "pre-1"}
    assert [r.batch.batch for r in forward(shop.journal, "oil-2").reached] == [BATCH]
    assert next(x for x in record(shop).lots if x["lot"] == "oil-2")["supplier"] == "Harbour Oils"
    assert len(shop.standing(BATCH).blocking) == 1


def test_the_lot_in_hand_is_corrected_where_it_was_weighed(shop):
    with pytest.raises(NotAllowed, match="Correct the lot of event 3"):
        correct(shop, 2, "lot", "oil-2")


@pytest.mark.parametrize("n", [1])
def test_what_the_program_wrote_down_of_the_make_itself_stays(shop, n):
    with pytest.raises(NotAllowed, match="stays as it is"):
        correct(shop, n, "batch_g", "400")


def test_the_indexes_are_the_same_when_made_anew(shop):
    for n, field, new in ((PRESERVATIVE, "net_g", "0.5"), (JAR_1, "net_g", "90"), (OIL, "lot", "oil-2")):
        correct(shop, n, field, new)
    kept = shop.journal.batch(BATCH), back(shop.journal, BATCH)
    shop.journal.rebuild_indexes()
    assert (shop.journal.batch(BATCH), back(shop.journal, BATCH)) == kept


def test_a_ceiling_that_only_the_corrected_weight_passes_blocks_without_any_label(desk, lotion):
    begun = started("b-2")
    key = next(x.key for x in lotion.formula.lines if x.material.use_limit_percent)
    begun = dataclasses.replace(begun, procedure_text=lotion.text, procedure=lotion.key)
    weights = [weight("oil-1", x.percent * 5, x.key) for x in lotion.formula.lines if x.percent and x.cap_percent is None]  # fmt: skip
    n = 2 + [w.line for w in weights].index(key)
    desk.journal.append("b-2", [begun, *weights, FINISHED])
    before = desk.batch("b-2").against
    correcting.correct(desk.records, "b-2", correction(n, "net_g", "60", "misread", "Jonas"))
    more = [why for why in desk.batch("b-2").against if why not in before]
    assert any("limit" in why and "out of specification" in why for why in more)


def with_fill_figures(shop):
    """What the make of the batch above may have measured of its fill, events 9 to 12."""
    said = {"at_s": 3.0, "step": "09-fill", "act": "bottles"}
    shop.journal.append(
        BATCH,
        [
            ev.NumberTaken(**said, what="mass of the known volume", value=48.5, unit="g", source=ev.Source.STATED),
            ev.NumberTaken(**said, what="temperature of the known volume", value=40.0, unit="°C", source=ev.Source.MEASURED),
            ev.NumberTaken(**said, what="density", value=0.9758, unit="g/ml", source=ev.Source.COMPUTED),
            ev.NumberTaken(**said, what="mean content", value=100.0, unit="g", source=ev.Source.COMPUTED),
        ],
    )  # fmt: skip


def figures(shop):
    return {x.what: (x.value, x.now) for x in record(shop).readings}


def test_the_mean_content_follows_a_corrected_container_in_every_document(shop):
    with_fill_figures(shop)
    correct(shop, JAR_1, "net_g", "95.5")
    assert figures(shop)["mean content"] == (100.0, pytest.approx((95.5 + 100.0) / 2))
    found = record(shop)
    (mean,) = (x for x in json.loads(as_json(found))["numbers"] if x["what"] == "mean content")
    assert (mean["value"], mean["stands_at"]) == (100.0, 97.75)
    assert f"event {JAR_1} was corrected" in mean["corrections"][0]["reason"]
    rows = csv.DictReader(io.StringIO(as_csv(found).removeprefix(BOM)))
    (row,) = (x for x in rows if x["what"] == "mean content")
    assert (row["value"], row["stands_at"]) == ("100.0", "97.75")
    assert len(found.corrections) == 1, "only what a person said is a correction"


def test_the_density_follows_the_mass_and_the_temperature_it_was_computed_from(shop):
    with_fill_figures(shop)
    correct(shop, 9, "value", "50.0")
    assert figures(shop)["density"] == (0.9758, pytest.approx(0.9758 * 50.0 / 48.5, abs=5e-5))
    correct(shop, 10, "value", "20.0")
    assert figures(shop)["density"][1] == pytest.approx(0.9758 * 50.0 / 48.5 / 1.006, abs=2e-3)
    assert figures(shop)["mean content"] == (100.0, 100.0)
    correct(shop, 11, "value", "0.99")
    assert figures(shop)["density"][1] == 0.99, "what a person said of it stands"


def test_a_container_below_its_label_is_said_to_be_below_it_alone(shop):
    correct(shop, JAR_1, "net_g", "90")
    assert "below 98" in shop.standing(BATCH).deviations[0].text


def test_what_nothing_can_ever_have_weighed_is_refused(shop):
    with pytest.raises(NotAllowed, match="less than 0"):
        correct(shop, PRESERVATIVE, "net_g", "-4.5")
    assert record(shop).corrections == ()


@pytest.mark.parametrize(
    ("n", "field", "new"),
    [
        (PRESERVATIVE, "low_g", "0"), (PRESERVATIVE, "high_g", "900"), (PRESERVATIVE, "target_g", "0.5"),
        (PRESERVATIVE, "step", "09-fill"), (JAR_1, "number", "2"), (END, "product_g", "499"),
        (END, "yield_percent", "99"),
    ],
)  # fmt: skip
def test_what_the_program_set_or_worked_out_follows_from_what_was_read_and_is_not_corrected_itself(
    shop, n, field, new
):
    with pytest.raises(NotAllowed, match="correct what it follows from"):
        correct(shop, n, field, new)
    assert record(shop).corrections == ()


def test_a_ph_that_there_is_none_of_is_refused(shop):
    taken = ev.PhTaken(
        at_s=3.0,
        step="08-ph",
        ph=5.4,
        temp_c=None,
        diluted=False,
        source=ev.Source.STATED,
        device="",
        in_band=True,
    )
    shop.journal.append(BATCH, [taken])
    with pytest.raises(NotAllowed, match="between 0 and 14"):
        correct(shop, 9, "ph", "54")


def test_a_corrected_spill_takes_its_own_line_alone_and_is_found_again(shop):
    lost = ev.MassLost(
        at_s=3.0,
        step="02-weigh",
        vessel="pot",
        lost_g=2.0,
        device="big",
        lines=(("preservative", 2.0),),
        pouring="",
        how="only",
        gross_g=9.0,
    )
    shop.journal.append(BATCH, [lost])
    before = record(shop)
    assert before.mass.spilled_g == 2.0
    assert before.mass.unaccounted_g == pytest.approx(195.0 + 4.5 - 200.0 - 2.0)
    correct(shop, 9, "lost_g", "1.0")
    now = record(shop)
    assert now.mass.spilled_g == 1.0
    assert now.reached_percent["preservative"] == pytest.approx(100 * 3.5 / 198.5)
    assert now.reached_percent["sunflower-oil"] == pytest.approx(100 * 195.0 / 198.5)


def test_what_was_spilled_whole_is_not_in_the_batch_that_a_label_is_held_against(desk, lotion):
    begun = dataclasses.replace(started("b-3"), procedure_text=lotion.text, procedure=lotion.key)
    lines = [x for x in lotion.formula.lines if x.percent and x.cap_percent is None]
    scent = next(x for x in lines if x.material.role == "fragrance")
    weights = [weight("oil-1", x.percent * 5, x.key) for x in lines]
    lost_g = scent.percent * 5
    lost = ev.MassLost(
        at_s=3.0, step="02-weigh", vessel="pot", lost_g=lost_g, device="big", lines=((scent.key, lost_g),), pouring="",
        how="only", gross_g=9.0,
    )  # fmt: skip
    desk.journal.append("b-3", [begun, *weights, lost, FINISHED])
    text, _ = draft_of(lotion)
    filled_in = {**json.loads(text), "durability_months": 12, "responsible": ["Low Tide Bench"]}
    label = label_from(json.dumps(filled_in)).to_text()
    desk.records.add(ev.LabelApproved(at_s=0.0, procedure=lotion.key, text=label, by="Mara Lind"))
    (why,) = (x for x in desk.against_label("b-3") if "Parfum" in x)
    assert why == "Parfum is on the label and not in the batch."


OTHER, PARTS = "20260303-oat-hand-lotion-2", (3, 5)


@pytest.fixture
def parted(shop):
    """60 g of oil in a band of 59 to 61 g, 40 of them from one lot and 20 from the next."""
    whole = weight("oil-2", 60.0)
    parts = [
        dataclasses.replace(e, portion=n, portions=2) if isinstance(e, ev.WeightTaken) else e
        for n, e in enumerate(parted_into(whole, (LotBefore("oil-1", 40.0),)), 1)
    ]
    shop.journal.append(
        OTHER,
        [
            dataclasses.replace(started(OTHER), procedure_text=shop.journal.stored(BATCH)[0].event.procedure_text),
            in_hand("oil-1"), parts[0], in_hand("oil-2"), parts[1], ev.MakeFinished(at_s=4.0, product_g=60.0, yield_percent=12.0),
        ],
    )  # fmt: skip
    return shop


def test_one_lot_s_part_is_in_its_band_where_the_whole_is(parted):
    correcting.correct(parted, OTHER, correction(PARTS[0], "net_g", "35", "read off late", "Jonas"))
    assert [x.outside for x in record_in(parted.journal, OTHER).weighings] == [True, True]
    assert "outside 59 to 61" in parted.standing(OTHER).deviations[-1].text
    correcting.correct(parted, OTHER, correction(PARTS[1], "net_g", "25", "read off late", "Jonas"))
    found = record_in(parted.journal, OTHER)
    assert [(x.now, x.outside) for x in found.weighings] == [(35.0, False), (25.0, False)]
    assert [d.kind for d in parted.standing(OTHER).deviations if d.grade is ev.Grade.MAJOR] == []
    assert {x["lot"]: x["drawn_g"] for x in found.lots} == {"oil-1": 35.0, "oil-2": 25.0}
    assert {x.lot: x.left for x in parted.lots().lots.values() if x.lot.startswith("oil")} == {
        "oil-1": 770.0,
        "oil-2": 975.0,
    }


def test_one_lot_s_part_of_another_lot_is_traced_to_it(parted):
    correcting.correct(parted, OTHER, correction(PARTS[1], "lot", "oil-1", "misread", "Jonas"))
    assert OTHER not in [r.batch.batch for r in forward(parted.journal, "oil-2").reached]
    assert next(x for x in record_in(parted.journal, OTHER).lots if x["lot"] == "oil-1")["drawn_g"] == 60.0
