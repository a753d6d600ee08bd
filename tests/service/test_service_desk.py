"""The desk's matters: one rule and one sentence, whether a command asks or a page."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import pytest

from benchapp import events as ev
from benchapp.foundation.catalogues import language_of
from benchapp.foundation.language import speaking
from benchapp.record.elsewhere import Conflict
from benchapp.record.pins import hashed
from benchapp.service.desk import Desk, PageDesk
from benchapp.service.desk_facts import CheckResult, StoredLot
from benchapp.service.errors import CommandError
from benchapp.service.matter import Sheet
from benchapp.service.open_matters import SettledAt, conflict, open_matters
from benchapp.service.training_facts import Grant

OIL = ev.LotReceived(
    at_s=0.0, lot="oil-1", material="sunflower-oil", name="Sunflower oil", supplier="Harbour Oils", supplier_lot="",
    quantity=2000.0, unit="g", received="", expires="2099-01-31",
)  # fmt: skip


def no_pin(prompt):
    raise AssertionError(f"asked for {prompt!r} although it could not be")


@pytest.fixture
def desk(journal):
    """Mara may release and make, Jonas helps."""
    one = Desk(journal)
    for who, pin, roles in (("Mara", "4711", ("releaser", "maker")), ("Jonas", "8203", ("helper",))):
        kept = hashed(pin, lambda n: b"0123456789abcdef"[:n])
        one.records.add(ev.PersonEnrolled(at_s=0.0, who=who, roles=roles, pin=kept, by="Mara"))
    return one


@pytest.mark.parametrize(
    ("refused", "sentence"),
    [
        (lambda desk, pin: desk.enrol("Mara", ("helper",), "Mara", pin, "1357"), "Mara is enrolled already."),
        (
            lambda desk, pin: desk.decide("b9", "released", "", "", pin),
            "Say which releaser you are: --by NAME.",
        ),
        (lambda desk, pin: desk.receive(OIL, "", pin), "Say who you are: --by NAME."),
    ],
)
def test_nobody_is_asked_for_a_pin_for_what_cannot_be(desk, refused, sentence):
    with pytest.raises(CommandError, match=sentence):
        refused(desk, no_pin)
    assert refused(PageDesk(desk.journal), no_pin) == sentence


def test_a_page_shows_a_refusal_as_the_sentence_a_command_fails_with(desk):
    page = PageDesk(desk.journal)
    with pytest.raises(CommandError) as why:
        desk.enrol("Ole", ("helper",), "Jonas", "8203", "1357")
    assert page.enrol("Ole", ("helper",), "Jonas", "8203", "1357") == str(why.value)
    oneself = Grant("Mara", "weigh", "independent")
    with pytest.raises(CommandError) as why:
        desk.give(oneself, "Mara", "4711")
    assert page.give(oneself, "Mara", "4711") == str(why.value)
    said = page.record_check("b9", "pH", CheckResult(5.4), "Mara", "4711")
    assert said.startswith("There is no batch 'b9' here")


def test_a_name_is_enrolled_without_the_blanks_around_it_and_a_role_once(desk):
    said = desk.enrol(" Ole ", ("helper", "helper"), "Mara", "4711", "1357")
    assert said == "Ole is enrolled as helper."
    assert desk.records.people().find("Ole").roles == ("helper",)


def test_a_delivery_is_the_same_from_a_page_and_from_a_command(desk):
    said = PageDesk(desk.journal).receive(OIL, "Jonas", "8203")
    assert said == ("Lot oil-1: 2 000.0 g of Sunflower oil received.")
    assert desk.stock_list("sunflower-oil").rows[0][:3] == ("oil-1", "sunflower-oil", "2 000.0 g")
    assert desk.lots() == (
        StoredLot(
            "oil-1",
            "Sunflower oil",
            2000.0,
            "g",
            "2099-01-31",
            "Harbour Oils",
            False,
            "",
            "",
            1.0,
            26634,
            2000.0,
        ),
    )


def delivery(material, quantity, unit, **more):
    plain = replace(
        OIL, lot=f"l-{quantity:g}{unit}", material=material, name="", quantity=quantity, unit=unit
    )
    return replace(plain, **more)


def test_what_a_procedure_names_is_not_doubted_and_packaging_keeps_for_ever(desk):
    said = desk.receive(delivery("sunflower-oil", 500.0, "g"), "Jonas", "8203")
    assert said == "Lot l-500g: 500.0 g of Sunflower oil received."
    said = desk.receive(delivery("jar-50", 1.0, "pieces", expires=""), "Jonas", "8203")
    assert said.startswith("Lot l-1pieces: 1 piece of jar-50 received. It is the first lot of jar-50")
    assert "expiry" not in said
    desk.receive(delivery("Jar-50", 2.0, "pieces", expires=""), "Jonas", "8203")
    assert [row[1] for row in desk.stock_list().rows].count("jar-50") == 2


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (delivery("Glycerin", 3.0, "pieces"), 'Glycerin is weighed: write its mass, like "1 kg".'),
        (delivery("Jar-50", 500.0, "g"), 'Jar-50 is counted: write pieces, like "200 pieces".'),
        (
            delivery("glycerin", 500.0, "g", received="2098-02-11"),
            "2098-02-11 is still to come.",
        ),
    ],
)
def test_a_delivery_that_cannot_be_is_refused(desk, given, sentence):
    desk.receive(delivery("jar-50", 40.0, "pieces"), "Jonas", "8203")
    with pytest.raises(CommandError) as refused:
        desk.receive(given, "Jonas", "8203")
    assert str(refused.value) == sentence


def test_a_delivery_past_its_date_says_so(desk):
    said = desk.receive(delivery("glycerin", 500.0, "g", expires="2020-01-01"), "Jonas", "8203")
    assert said.endswith("It is past its date since 2020-01-01: no make takes it.")


def test_in_german_an_expired_lot_is_not_called_empty(desk):
    with speaking(language_of("de")):
        desk.receive(replace(OIL, expires="2020-01-31"), "Jonas", "8203")
        (row,) = desk.stock_list("sunflower-oil").rows
    assert row[2] == "2 000,0 g"
    assert row[-1] == "expired", "a word that the table looks up"


def test_a_yield_on_the_chart_is_of_what_the_batch_became(desk):
    """It grew from 300 g to 360 g to keep its formula: 342 g are 95 %, and not 114 %."""
    for number in (1, 2, 3):
        name = f"20260301-toner-{number}"
        grown = ev.TargetsRevised(at_s=5.0, step="s", why="", batch_g=360.0, additions=(), targets=())
        desk.journal.append(name, [
            ev.MakeStarted(
                at_s=0.0, batch=name, maker="Mara", procedure="toner", procedure_sha256="", procedure_text="",
                batch_g=300.0, devices=(), rehearsal=False,
            ),
            *([grown] if number == 3 else []),
            ev.MakeFinished(at_s=9.0, product_g=342.0 if number == 3 else 285.0, yield_percent=95.0),
        ])  # fmt: skip
    trend = desk.trend("toner")
    assert trend is not None
    assert trend.values == pytest.approx((95.0, 95.0, 95.0))
    line = desk.journal.batch(name)
    assert (line.batch_g, line.whole_g) == (300.0, 360.0)
    assert line.yield_percent == pytest.approx(desk.record(name).yield_percent) == pytest.approx(95.0)
    desk.journal.rebuild_indexes()
    assert desk.journal.batch(name) == line


def test_a_trace_is_one_sheet_drawn_as_a_table_or_as_lines(desk):
    desk.receive(OIL, "Jonas", "8203")
    sheet = desk.trace("oil-1")
    assert sheet.lines == (*sheet.head, *sheet.notes)
    assert sheet.head[0].startswith("Lot oil-1: Sunflower oil from Harbour Oils, their lot ?")
    assert sheet.notes == ("It is in no batch yet.",)


def test_a_row_of_a_sheet_is_one_line():
    sheet = Sheet(("head",), ("a", "b", "c"), (("b1", "250.0 g", "", "released"),), ("note",))
    assert sheet.lines == ("head", "b1: 250.0 g, released", "note")


def test_what_is_due_is_said_alike(desk):
    assert desk.due_list() == Sheet(("No finished batch waits for a decision.",))
    assert open_matters(desk) == ()


def test_what_does_not_go_together_is_settled_among_the_lots_where_it_is_about_one(desk):
    """A lot may be called like any word of a sentence: what it is about is known, and not read out of it."""
    desk.records.add(replace(OIL, lot="bench"))
    other = conflict(Conflict("Another bench decided otherwise about the batch: rejected."))
    assert (other.what, other.settled_at) == (
        "Another bench decided otherwise about the batch",
        SettledAt.BENCHES,
    )
    about = conflict(Conflict("Lot bench: 4 g more went out than came in. Count it: used on west.", "bench"))
    assert (about.what, about.said, about.settled_at) == (
        "Lot bench", "4 g more went out than came in. Count it: used on west.", SettledAt.LOTS,
    )  # fmt: skip
    dotted = conflict(Conflict("Lot A. 7 was counted on west and east at once.", "A. 7"))
    assert (dotted.what, dotted.settled_at) == ("Lot A. 7", SettledAt.LOTS)


def test_the_desk_is_opened_without_loading_the_procedures():
    """Most commands read none: what they need besides is loaded where it is asked for."""
    program = "import sys, benchapp.service.desk; print(*{'procedures.model', 'pydantic', 'kivy', 'pint'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""
