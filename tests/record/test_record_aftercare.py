"""Calibration and cleaning due with their log; complaints and undesirable effects in the record of their batch."""

from __future__ import annotations

import argparse
import io
import json

import jsonschema
import pytest
from one_command import command
from rich.console import Console
from workshop_days import a_month, correction

from benchapp import events as ev
from benchapp.commands.looking import run_batches
from benchapp.commands.output import say_answer
from benchapp.record import correcting
from benchapp.record.aftercare import care_in
from benchapp.record.documents.as_csv import as_csv
from benchapp.record.documents.as_json import as_json, schema
from benchapp.record.documents.as_pdf import as_pdf
from benchapp.record.errors import NotAllowed
from benchapp.record.journal import Journal
from benchapp.record.verifying import verify
from benchapp.service.desk import Desk
from benchapp.service.errors import CommandError
from benchapp.service.open_matters import open_matters

LOTION = "20260303-oat-hand-lotion-1"


@pytest.fixture
def day() -> list[str]:
    return ["2026-03-20"]


@pytest.fixture
def desk(tmp_path, day):
    journal = Journal(tmp_path, lambda: "2026-03-01T09:00:00.000+01:00")
    a_month(journal)
    journal.wall = lambda: f"{day[0]}T09:00:00.000+01:00"
    yield Desk(journal)
    journal.close()


def tended(
    equipment="big scale", task="calibration", on="", words="certificate 118", passed=True
) -> ev.CareDone:
    return ev.CareDone(
        at_s=0.0, equipment=equipment, task=task, on=on, words=words, passed=passed, by="Mara Lind"
    )


def said(words="It smells of rope.", **more) -> ev.ComplaintReceived:
    usual = {
        "container": 0,
        "effect": False,
        "serious": False,
        "sender": "Pier Shop",
        "on": "",
        "by": "Mara Lind",
    }
    return ev.ComplaintReceived(at_s=0.0, number=0, words=words, **{**usual, **more})


def due_on(desk):
    """What is due beside release checks, as the bench page says it."""
    return [(one.what, one.said) for one in open_matters(desk) if not one.more and one.settled_at != "lots"]


# --- equipment -------------------------------------------------------------------------------------------


def test_what_is_planned_is_due_until_it_passed_and_again_so_many_days_later(desk, day):
    desk.plan_care("big scale", "calibration", 365, "Mara Lind", "")
    assert due_on(desk) == [("big scale: calibration", "due since 2026-03-20")]
    assert desk.care_done(tended(on="2026-03-10"), "").endswith("due again on 2027-03-10.")
    assert due_on(desk) == []
    day[0] = "2027-03-09"
    assert due_on(desk) == []
    day[0] = "2027-03-10"
    assert due_on(desk) == [("big scale: calibration", "due since 2027-03-10")]
    desk.plan_care("big scale", "calibration", 0, "Mara Lind", "")
    assert due_on(desk) == []
    assert len(desk.care_sheet().notes) == 1, "the log stays"


def test_what_failed_stays_due_and_what_was_entered_late_counts_by_its_own_day(desk):
    desk.plan_care("blender", "cleaning", 7, "Mara Lind", "")
    assert "not fit for use" in desk.care_done(tended("blender", "cleaning", "2026-03-19", passed=False), "")
    desk.care_done(tended("blender", "cleaning", "2026-03-05"), "")
    assert due_on(desk) == [("blender: cleaning", "due since 2026-03-19")]
    assert [note[:10] for note in desk.care_sheet("BLENDER").notes] == ["2026-03-05", "2026-03-19"]


@pytest.mark.parametrize(
    "wrong", [tended(equipment=" "), tended(task="polishing"), tended(words=""), tended(on="2026-03-21")]
)
def test_what_is_no_entry_is_refused(desk, wrong):
    with pytest.raises(CommandError):
        desk.care_done(wrong, "")
    assert care_in(desk.journal.of_kinds([ev.CareDone])) == ()


# --- complaints ------------------------------------------------------------------------------------------


def test_a_complaint_stands_in_every_form_of_its_batchs_record(desk):
    assert desk.complain(LOTION, said(container=3), "") == f"Complaint 1 stands in {LOTION}."
    serious = desk.complain(LOTION, said("Red eyes for three days.", serious=True), "")
    assert "notified to the competent authority" in serious
    desk.answer_complaint(
        LOTION,
        ev.ComplaintAnswered(at_s=0.0, number=1, found="Its lid was off.", done="Replaced.", by="Mara Lind"),
        "",
    )
    record = desk.record(LOTION)
    found = json.loads(as_json(record))
    jsonschema.validate(found, schema())
    assert [(c["number"], c["effect"], c["serious"]) for c in found["complaints"]] == [
        (1, False, False),
        (2, True, True),
    ]
    assert found["complaint_answers"][0]["found"] == "Its lid was off."
    table = as_csv(record)
    assert "serious undesirable effect 2: Red eyes for three days." in table
    assert "Its lid was off." in table
    assert len(as_pdf(record)) > 10_000
    assert verify(desk.journal).sound


def test_what_nobody_answered_is_said_the_serious_first_and_listed_by_batch(desk):
    desk.complain(LOTION, said(), "")
    desk.complain(LOTION, said("A rash.", serious=True), "")
    assert [said for _, said in due_on(desk)] == [
        "serious undesirable effect 2, not answered",
        "complaint 1, not answered",
    ]
    sheet = desk.complaint_sheet(LOTION)
    assert [row[1] for row in sheet.rows] == ["1", "2"]
    assert {row[-1] for row in sheet.rows} == {"not answered"}


def test_a_batch_is_found_by_the_code_on_its_container_and_a_rehearsal_has_no_customers(desk):
    code = desk.record(LOTION).code
    assert LOTION in desk.complain(code, said(), "")
    rehearsals = [b.batch for b in desk.journal.batches() if b.rehearsal]
    for batch in rehearsals[:1]:
        with pytest.raises(CommandError, match="is a rehearsal"):
            desk.complain(batch, said(), "")


@pytest.mark.parametrize(
    ("wrong", "why"), [(said(words=" "), "Write down"), (said(container=4000), "has containers 1 to")]
)
def test_what_is_no_complaint_is_refused(desk, wrong, why):
    with pytest.raises(CommandError, match=why):
        desk.complain(LOTION, wrong, "")


def test_an_answer_to_nothing_is_refused(desk):
    answer = ev.ComplaintAnswered(at_s=0.0, number=1, found="x", done="y", by="Mara Lind")
    with pytest.raises(CommandError, match="has no complaint 1"):
        desk.answer_complaint(LOTION, answer, "")


def on_eighty_columns(tell):
    """What a command says on a terminal of eighty columns, as its lines."""
    out = io.StringIO()
    tell(Console(file=out, width=80, force_terminal=True, color_system=None))
    lines = out.getvalue().splitlines()
    assert max(map(len, lines)) <= 80
    return lines


def test_complaints_are_a_table_on_eighty_columns(desk):
    desk.complain(LOTION, said("The bottle leaks at its cap.", container=3, sender="Pier Shop, Quay 4"), "")
    desk.complain(LOTION, said("Red eyes for three days.", serious=True), "")
    answer = ev.ComplaintAnswered(
        at_s=0.0,
        number=1,
        found="A cap of lot cap-2 is cracked.",
        done="A new bottle went out.",
        by="Mara Lind",
    )
    desk.answer_complaint(LOTION, answer, "")
    lines = on_eighty_columns(lambda console: say_answer(console, desk.complaint_sheet()))
    assert lines[0].split() == ["batch", "no.", "date", "what", "words", "answer"]
    assert lines[1].startswith("----")
    columns = [lines[0].index(title) for title in lines[0].split()]
    cells = [
        " ".join(" ".join(x[a:b] for x in lines[2:]).split())
        for a, b in zip(columns, [*columns[1:], None], strict=True)
    ]
    assert "complaint, container 3" in cells[3]
    assert "The bottle leaks at its cap. (Pier Shop, Quay 4) Red eyes" in cells[4]
    assert cells[5] == "A cap of lot cap-2 is cracked; A new bottle went out (Mara Lind) not answered"


def test_batches_are_a_table_on_eighty_columns(desk, tmp_path):
    given = argparse.Namespace(data=str(tmp_path))
    lines = on_eighty_columns(lambda console: run_batches(given, console))
    assert lines[0].split() == ["batch", "grams", "maker", "begun", "product"]
    assert lines[2].startswith("-----")
    row = next(line for line in lines if line.startswith(LOTION[:20]))
    assert "2026-03-0" in row


def test_the_commands_say_the_same(tmp_path):
    data, by = ("--data", str(tmp_path)), ("--by", "Mara Lind")
    assert command("care", "plan", "blender", "cleaning", "--every", "7", *by, *data).returncode == 0
    listed = command("care", "list", *data)
    assert "blender" in listed.stdout
    assert ", due" in listed.stdout
    assert command("care", "done", "blender", "cleaning", "--found", "clean", *by, *data).returncode == 0
    assert command("complaint", "receive", "no-such-batch", "It leaks.", *by, *data).returncode == 3
    assert "No complaint" in command("complaint", "list", *data).stdout


# --- corrections -----------------------------------------------------------------------------------------


def last_n(desk, batch):
    return desk.journal.last(batch).n


def test_a_corrected_entry_of_the_log_and_a_corrected_complaint_stand_as_they_are_now(desk):
    desk.plan_care("big scale", "calibration", 365, "Mara Lind", "")
    desk.care_done(tended(on="2026-03-10"), "")
    correcting.correct(desk.records, ev.WORKSHOP, correction(last_n(desk, ev.WORKSHOP), "on", "2026-03-12"))
    assert desk.care()[0].due == "2027-03-12"
    desk.complain(LOTION, said(container=2), "")
    correcting.correct(desk.records, LOTION, correction(last_n(desk, LOTION), "container", "3"))
    assert [c.received.container for c in desk.complaints(LOTION)] == [3]
    assert [c.received.container for c in desk.complaints()] == [3]


def test_a_plan_and_an_answer_are_said_anew(desk):
    desk.plan_care("big scale", "calibration", 365, "Mara Lind", "")
    plan = last_n(desk, ev.WORKSHOP)
    desk.complain(LOTION, said(), "")
    answer = ev.ComplaintAnswered(at_s=0.0, number=1, found="nothing", done="replaced", by="Mara Lind")
    desk.answer_complaint(LOTION, answer, "")
    for batch, n, field in ((ev.WORKSHOP, plan, "every_days"), (LOTION, last_n(desk, LOTION), "found")):
        with pytest.raises(NotAllowed, match="say it anew"):
            correcting.correct(desk.records, batch, correction(n, field, "3"))


def test_a_day_that_an_older_program_let_be_corrected_into_none_counts_as_not_done(desk):
    desk.records.add(
        ev.CarePlanned(at_s=0.0, equipment="big scale", task="calibration", every_days=90, by="M")
    )
    desk.records.add(tended(on="2026-03-10"))
    n = desk.journal.of_kinds([ev.CareDone], ev.WORKSHOP)[0].n
    old = ev.Corrected(
        at_s=0.0, n=n, field="on", old="2026-03-10", new="10 March", reason="a slip", by="Mara"
    )
    desk.journal.append(ev.WORKSHOP, [old])
    (care,) = desk.care()
    assert care.due == "2026-03-20", "since it was planned"
    (note,) = desk.care_sheet().notes
    assert note.startswith("10 March (no date: write it down again) big scale, calibration")
