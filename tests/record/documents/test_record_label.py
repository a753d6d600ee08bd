"""The label: composed, compared with the batch, printed small and read back."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest
from biip.gs1_messages import GS1Message
from invented_batch import lotion, record
from paper import codes_on, picture_of, sizes_of, text_of

from benchapp.record.documents.label_pdf import LabelledBatch, labels_pdf
from benchapp.record.errors import DocumentRefused
from benchapp.record.facts import LineFacts, ProcedureFacts, StepFacts
from benchapp.record.gs1 import bare, element_string
from benchapp.record.label import Label, differences, label_from, label_of
from benchapp.service.procedure_facts import procedure_facts
from procedures.reading import read_procedure
from procedures.shelf import find, shipped

FACTS = procedure_facts(lotion())
DRAFT, DOUBTS = label_of(FACTS)
LABEL = replace(
    DRAFT, durability_months=24, responsible=("Low Tide Bench (invented)", "1 Harbour Row, Saltmarsh"), cautions=("For external use only.",)
)  # fmt: skip
BATCH = LabelledBatch("260302-NAPFEFM5", date(2026, 3, 2))
GTIN = "09501101530003"  # the GS1 General Specifications' own example number


def test_the_draft_names_the_ingredients_in_order_and_says_what_is_open():
    assert DRAFT.ingredients[:3] == ("Aqua", "Helianthus Annuus Seed Oil", "Glycerin")
    assert DRAFT.contents == "100 ml"
    assert any("ask its supplier" in d for d in DOUBTS)


def test_a_label_survives_its_own_text():
    assert label_from(LABEL.to_text()) == LABEL


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("{", "This is no label"),
        ("[]", "Start from a draft"),
        (LABEL.to_text().replace("label/1", "label/2"), "Start from a draft"),
        (LABEL.to_text().replace("contents", "kontents"), "has no 'kontents'"),
        (replace(LABEL, responsible=()).to_text(), "lacks its responsible"),
        (replace(LABEL, gtin="09501101530004").to_text(), "check digit is 3"),
        (replace(LABEL, durability_months=36).to_text(), "period after opening"),
        (LABEL.to_text().replace('["For external use only."]', '"x"'), "list of texts"),
        (LABEL.to_text().replace('"durability_months": 24', '"durability_months": 2.5'), "whole number"),
    ],
)  # fmt: skip
def test_anything_else_is_refused_with_one_sentence(text, sentence):
    with pytest.raises(ValueError, match=sentence):
        label_from(text)


# --- the batch against its label -----------------------------------------------------------------------


def two(first: str, low: float, **more: object) -> ProcedureFacts:
    """A formula of water and two oils, invented; shares are given with each batch."""
    lines = {
        "water": LineFacts("Water", 90.0, (("Aqua", 100, 100),)),
        "a": LineFacts("Oil A", 6.0, ((first, low, 100),)),
        "b": LineFacts("Oil B", 4.0, (("Linalool", 100, 100),), **more),
    }
    return ProcedureFacts(use="leave-on", lines=lines)


SHORT = Label("X", ("Aqua", "Oleum A", "Linalool"), "100 ml", 24, ("Y",))


def test_a_batch_as_planned_is_as_its_label_says():
    found = record()
    assert differences(LABEL, FACTS, found.grams, found.lost_percent) == ()


@pytest.mark.parametrize("name", shipped())
def test_every_shipped_procedure_is_what_its_own_draft_says_and_has_room_on_a_label(name):
    facts = procedure_facts(read_procedure(find(name)).procedure)
    label = replace(label_of(facts)[0], durability_months=24, responsible=("Low Tide Bench (invented)",))
    planned = {key: x.percent for key, x in facts.lines.items() if x.percent}
    assert differences(label, facts, planned, 3.0) == ()
    assert label_from(label.to_text()) == label
    assert len(text_of(labels_pdf(label, BATCH, [1], (60, 90)))) == 1


@pytest.mark.parametrize(
    ("contents", "fits"),
    [
        ("100 ml", True), ("100ml ℮", True), ("0,1 l", True), ("3.4 fl oz / 100 ml", True), ("98 g", True), ("one jar", True),
        ("200 ml", False), ("50 ml", False), ("1 l", False), ("1\u202f000 ml", False), ("1 100 ml", False),
    ],
)  # fmt: skip
def test_the_content_that_is_printed_is_the_one_that_is_filled(contents, fits):
    """Where both are said in the same kind of unit; by how much they agree the weighing of each container says."""
    fill = StepFacts("09-fill", "fill", "Fill", nominal=100.0, nominal_unit="ml")
    facts = replace(two("Oleum A", 100), steps={"09-fill": fill})
    found = differences(replace(SHORT, contents=contents), facts, {"water": 90, "a": 6.0, "b": 4.0}, 0.0)
    assert found == (() if fits else (f"The label says {contents}, and 100 ml is filled.",))


@pytest.mark.parametrize("contents", ["1,000 ml", "1.000 ml", "1 000 ml", "1 l", "1.000 l"])
def test_a_litre_may_be_printed_with_its_thousands_grouped(contents):
    fill = StepFacts("09-fill", "fill", "Fill", nominal=1000.0, nominal_unit="ml")
    facts = replace(two("Oleum A", 100), steps={"09-fill": fill})
    planned = {"water": 90, "a": 6.0, "b": 4.0}
    assert differences(replace(SHORT, contents=contents), facts, planned, 0.0) == ()


def test_a_changed_order_is_found_and_a_slip_of_the_scale_is_not():
    facts = two("Oleum A", 100)
    assert differences(SHORT, facts, {"water": 90, "a": 5.0, "b": 5.1}, 0.0) == ()
    (reason,) = differences(SHORT, facts, {"water": 90, "a": 4.0, "b": 6.0}, 0.0)
    assert reason.startswith("Linalool (6.00 %) is now more than Oleum A (4.00 %)")


def test_a_name_stands_once():
    twice = replace(SHORT, ingredients=("Aqua", "Oleum A", "OLEUM A", "Linalool"))
    found = differences(twice, two("Oleum A", 100), {"water": 90, "a": 6.0, "b": 4.0}, 0.0)
    assert found == ("OLEUM A is on the label more than once.",)


@pytest.mark.parametrize("lacks", ["product", "contents"])
def test_a_blank_is_not_filled_in(lacks):
    """It was approved, and then no batch of that procedure could be released: the approved text could not be read."""
    with pytest.raises(ValueError, match=f"lacks its {lacks}"):
        label_from(replace(SHORT, **{lacks: "  "}).to_text())


def test_below_one_percent_the_order_is_free():
    facts = two("Oleum A", 100)
    assert differences(SHORT, facts, {"water": 99, "a": 0.2, "b": 0.8}, 0.0) == ()


def test_what_is_missing_on_either_side_is_found():
    facts = two("Oleum A", 100)
    assert differences(SHORT, facts, {"water": 90, "a": 6.0}, 0.0) == (
        "Linalool is on the label and not in the batch.",
    )
    short = replace(SHORT, ingredients=("Aqua", "Oleum A"))
    found = differences(short, facts, {"water": 90, "a": 6.0, "b": 4.0}, 0.0)
    assert found[0] == "Linalool is in the batch and not on the label."
    assert "has to be named" in found[1]


def test_a_passed_ceiling_is_found_in_the_finished_mass():
    """Phenoxyethanol 1.0 % (Regulation (EC) No 1223/2009 Annex V entry 29); 0.98 % becomes 1.01 % when 3 % water is lost."""
    facts = two("Phenoxyethanol", 100)
    label = replace(SHORT, ingredients=("Aqua", "Linalool", "Phenoxyethanol"))
    grams = {"water": 95.02, "b": 4.0, "a": 0.98}
    assert differences(label, facts, grams, 0.0) == ()
    (reason,) = differences(label, facts, grams, 3.0)
    assert reason.startswith("Phenoxyethanol: up to 1.010 %")
    assert "ABOVE" in reason


def test_a_material_s_own_limit_is_found():
    facts = two("Oleum A", 100, limit_percent=4.0)
    assert differences(SHORT, facts, {"water": 90, "a": 6.0, "b": 4.0}, 0.0) == ()
    (reason,) = differences(SHORT, facts, {"water": 90, "a": 6.0, "b": 4.0}, 1.0)
    assert "Oil B: up to 4.040 %, ABOVE 4 % (the material's own limit)" in reason


def test_a_batch_without_a_weighing_cannot_be_compared():
    assert differences(SHORT, two("Oleum A", 100), {}, 0.0)


# --- printed -------------------------------------------------------------------------------------------


def test_each_container_has_its_own_label_at_its_own_size():
    pdf = labels_pdf(LABEL, BATCH, range(1, 13), (60, 90))
    pages = text_of(pdf)
    found = [re.search(r"Batch\s+260302-NAPFEFM5/(\d+)", p) for p in pages]
    assert [int(m[1]) for m in found if m] == list(range(1, 13))
    assert sizes_of(pdf) == pytest.approx((60 / 25.4 * 72, 90 / 25.4 * 72), abs=0.1)


def test_what_the_law_asks_for_stands_on_it():
    """Regulation (EC) No 1223/2009 art. 19(1)(a) to (g)."""
    text = " ".join(
        text_of(labels_pdf(replace(LABEL, function="Hand lotion"), BATCH, [1], (60, 90)))[0].split()
    )
    for part in (
        "Low Tide Bench (invented)", "100 ml", "Best used before the end of 02/2028", "For external use only.",
        "Batch 260302-NAPFEFM5/1", "Hand lotion", "Ingredients: Aqua, Helianthus Annuus Seed Oil, Glycerin,",
    ):  # fmt: skip
        assert part in text, part


def test_a_long_lived_product_has_the_open_jar_and_no_date():
    text = text_of(
        labels_pdf(replace(LABEL, durability_months=36, after_opening_months=6), BATCH, [1], (60, 90))
    )[0]
    assert "6M" in text
    assert "Best used" not in text


def test_without_a_gtin_the_code_is_the_container_s(tmp_path):
    (code,) = codes_on(picture_of(labels_pdf(LABEL, BATCH, [7], (60, 90)), 1, 200))
    assert code.text == "260302-NAPFEFM5/7"


def test_with_a_gtin_the_code_is_a_gs1_data_matrix_that_an_independent_parser_reads():
    (code,) = codes_on(picture_of(labels_pdf(replace(LABEL, gtin=GTIN), BATCH, [1], (60, 90)), 1, 200))
    assert code.symbology_identifier == "]d2"  # GS1 Data Matrix, ISO/IEC 15424 (from memory)
    found = GS1Message.parse(code.bytes.decode())
    assert found.element_strings.get(ai="01").value == GTIN
    assert found.element_strings.get(ai="10").value == "260302-NAPFEFM5"
    assert found.element_strings.get(ai="15").date == date(2028, 2, 29)
    assert code.bytes.decode() == bare(element_string(GTIN, BATCH.code, date(2028, 2, 29)))


def test_the_smallest_letters_are_still_legible():
    """On the tightest label that is accepted, an x measured on the picture is 1.2 mm high or more."""
    label, height = replace(LABEL, product="xxxx"), 90
    pdf = labels_pdf(label, BATCH, [1], (60, height))
    try:
        while True:
            height -= 1
            pdf = labels_pdf(label, BATCH, [1], (60, height))
    except DocumentRefused:
        assert height > 40
    picture = picture_of(pdf, 1, 1200).convert("L").crop((0, 0, 1400, 500))
    inked = [picture.crop((0, y, 1400, y + 1)).getextrema()[0] < 128 for y in range(picture.height)]
    top = inked.index(True)
    name_mm = inked[top:].index(False) / 1200 * 25.4
    assert 1.2 <= name_mm / 1.45 < 1.3  # the name is set 1.45 times as large as the rest


def test_text_that_cannot_stand_is_refused_with_what_to_do():
    with pytest.raises(DocumentRefused, match=r"30 × 40 mm in letters of 1\.2 mm.*larger label"):
        labels_pdf(LABEL, BATCH, [1], (30, 40))
    with pytest.raises(DocumentRefused, match="how many"):
        labels_pdf(LABEL, BATCH, [], (60, 90))


def test_a_character_that_cannot_be_printed_is_refused_not_replaced():
    with pytest.raises(DocumentRefused, match=r"‹U\+4E2D›.*Write it otherwise"):
        labels_pdf(replace(LABEL, responsible=("\u4e2d",)), BATCH, [1], (60, 90))


def test_markup_on_a_label_is_text():
    text = text_of(labels_pdf(replace(LABEL, product="<b>A & B</b>"), BATCH, [1], (60, 90)))[0]
    assert "<b>A & B</b>" in text


def test_the_same_label_gives_the_same_bytes():
    assert labels_pdf(LABEL, BATCH, [1, 2], (60, 90)) == labels_pdf(LABEL, BATCH, [1, 2], (60, 90))
