"""The desk's matters: one rule and one sentence, whether a command asks or a page."""

from __future__ import annotations

import subprocess
import sys

import pytest

from benchapp import events as ev
from benchapp.record.pins import hashed
from benchapp.service.desk import Desk, PageDesk
from benchapp.service.desk_facts import CheckResult, StoredLot
from benchapp.service.errors import CommandError
from benchapp.service.matter import Sheet
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
    assert page.record_check("b9", "pH", CheckResult(5.4), "Nobody", "1").startswith(
        "Nobody is not enrolled here"
    )


def test_a_name_is_enrolled_without_the_blanks_around_it_and_a_role_once(desk):
    said = desk.enrol(" Ole ", ("helper", "helper"), "Mara", "4711", "1357")
    assert said == "Ole is enrolled as helper."
    assert desk.records.people().find("Ole").roles == ("helper",)


def test_a_delivery_is_the_same_from_a_page_and_from_a_command(desk):
    said = PageDesk(desk.journal).receive(OIL, "Jonas", "8203")
    assert said == (
        "Lot oil-1: 2 000.0 g of Sunflower oil received. "
        "It is the first lot of sunflower-oil: see that a procedure names that material so."
    )
    assert desk.stock_list("sunflower-oil").rows[0][:3] == ("oil-1", "sunflower-oil", "2 000.0 g")
    assert desk.lots() == (
        StoredLot(
            "oil-1", "Sunflower oil", "2 000.0 g", "2099-01-31", "Harbour Oils", False, "", "", 1.0, 26634
        ),
    )


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
    assert desk.due_lines() == ()


def test_the_desk_is_opened_without_loading_the_procedures():
    """Most commands read none: what they need besides is loaded where it is asked for."""
    program = "import sys, benchapp.service.desk; print(*{'procedures.model', 'pydantic', 'kivy', 'pint'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""
