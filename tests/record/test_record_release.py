"""Release: what is due when, and every reason why a batch may not leave yet. Invented for the demo."""

from __future__ import annotations

from dataclasses import replace

import pytest

from benchapp import events as ev
from benchapp.record.facts import CheckResult, ReleaseFacts
from benchapp.record.people import Person
from benchapp.record.release import check_problem, checks_of, notes_on, standing_of, why_not
from benchapp.record.stored_event import StoredEvent

PH = ReleaseFacts("pH after a day", "still within the limits", 86_400.0, 5.0, 5.8)
LOOK = ReleaseFacts("Appearance", "no water below", 3_600.0)
SPECIFICATION = (PH, LOOK)
DAY_1, DAY_2, DAY_3 = (f"2026-03-0{n}T12:00:00+01:00" for n in (1, 2, 3))
MARA = Person("Mara Lind", ("maker", "releaser"), "")
JONAS = Person("Jonas", ("helper",), "")

STARTED = ev.MakeStarted(
    at_s=0.0, batch="b1", maker="Mara Lind", procedure="oat-hand-lotion", procedure_sha256="", procedure_text="",
    batch_g=500.0, devices=(),
)  # fmt: skip
FINISHED = ev.MakeFinished(at_s=9.0, product_g=480.0, yield_percent=96.0)
MINOR = ev.DeviationNoted(
    at_s=5.0, number=1, grade=ev.Grade.MINOR, kind="late", step="04-heat", text="held 4 min too long"
)
NOTE = ev.DeviationNoted(
    at_s=5.0, number=2, grade=ev.Grade.NOTE, kind="held", step="04-heat", text="a telephone call"
)


def result(check, passed=True, value=None, words=""):
    return ev.CheckRecorded(
        at_s=9.0, check=check, expect="", value=value, words=words, passed=passed, by="Mara Lind"
    )


def standing(*later, started=STARTED, end=FINISHED, before=()):
    """A batch's events; ``later`` are (wall, event) pairs after its end on day 1."""
    parts = [(DAY_1, started), *((DAY_1, e) for e in before), *([(DAY_1, end)] if end else []), *later]
    return standing_of([StoredEvent(n, "b1", n, wall, event, "") for n, (wall, event) in enumerate(parts, 1)])


GOOD = ((DAY_2, result("Appearance")), (DAY_3, result("pH after a day", value=5.4)))


def reasons(batch, decision="released", person=MARA, now=DAY_3, label=()):
    return why_not(decision, person, batch, checks_of(batch, SPECIFICATION, now), label)


def test_a_batch_with_every_check_passed_may_be_released():
    assert reasons(standing(*GOOD)) == ()


def test_each_check_falls_due_after_the_end_of_the_make():
    checks = checks_of(standing(), SPECIFICATION, "2026-03-01T14:00:00+01:00")
    assert [(c.check.name, c.state, c.due) for c in checks] == [
        ("pH after a day", "waiting", "2026-03-02T12:00:00+01:00"),
        ("Appearance", "due", "2026-03-01T13:00:00+01:00"),
    ]


@pytest.mark.parametrize(
    ("batch", "why"),
    [
        (standing(), "Appearance is due and not done"),
        (standing(GOOD[0], (DAY_3, result("pH after a day", False, 6.2))), "pH after a day failed"),
        (standing(*GOOD, before=[MINOR]), "Deviation 1 (minor) is open: held 4 min too long"),
        (standing(*GOOD, started=replace(STARTED, rehearsal=True)), "A rehearsal"),
        (standing(end=None), "The make is unfinished"),
        (standing(end=ev.MakeAbandoned(at_s=3.0, reason="power")), "The make is abandoned"),
    ],
    ids=["missing", "failed", "deviation", "rehearsal", "unfinished", "abandoned"],
)
def test_what_keeps_a_batch_here(batch, why):
    assert any(why in reason for reason in reasons(batch))


def test_a_closed_deviation_blocks_no_more_and_a_note_never_did():
    close = ev.DeviationClosed(at_s=9.0, number=1, reason="within the stability data", by="Mara Lind")
    assert reasons(standing(*GOOD, (DAY_3, close), before=[MINOR, NOTE])) == ()


def test_a_result_written_down_before_it_was_due_says_nothing():
    early = standing((DAY_1, result("pH after a day", value=5.4)), GOOD[0])
    assert reasons(early) == ("pH after a day is due and not done.",)


def test_a_later_result_counts_and_the_earlier_one_stays():
    batch = standing(
        GOOD[0],
        (DAY_2, result("pH after a day", False, 6.0)),
        (DAY_3, result("pH after a day", value=5.5, words="electrode was dry")),
    )
    assert reasons(batch) == ()
    assert [r.passed for _, r in batch.results if r.check == "pH after a day"] == [False, True]


def test_a_failed_check_is_not_repeated_without_a_reason():
    batch = standing((DAY_2, result("pH after a day", False, 6.0)))
    assert "failed before" in check_problem(PH, batch, CheckResult(5.5), DAY_3)
    assert check_problem(PH, batch, CheckResult(5.5, "electrode was dry, recalibrated"), DAY_3) == ""


def test_a_check_is_not_written_down_before_it_is_due_nor_without_its_number():
    assert "is due from 2026-03-02 12:00" in check_problem(PH, standing(), CheckResult(5.5), DAY_1)
    assert "needs a number" in check_problem(PH, standing(), CheckResult(words="fine"), DAY_3)
    assert "not finished" in check_problem(PH, standing(end=None), CheckResult(5.5), DAY_3)


@pytest.mark.parametrize("person", [JONAS, None, Person("Ida", ("releaser",), "", retired=True)])
def test_only_a_releaser_decides(person):
    assert any("no releaser" in why for why in reasons(standing(*GOOD), person=person))
    assert any("no releaser" in why for why in reasons(standing(*GOOD), "rejected", person=person))


def test_a_label_out_of_specification_blocks_release():
    assert reasons(standing(*GOOD), label=["Linalool is declared no more"]) == (
        "The label is out of specification: Linalool is declared no more",
    )


def test_a_batch_may_be_rejected_whatever_is_open_and_then_for_good():
    assert reasons(standing(before=[MINOR]), "rejected", now=DAY_1) == ()
    gone = standing(
        (DAY_2, ev.BatchDecided(at_s=9.0, decision="rejected", reason="split", by="M", role="releaser"))
    )
    assert "It was rejected, for good." in reasons(gone)


def test_a_batch_that_was_worked_over_is_checked_anew():
    over = ev.BatchDecided(at_s=9.0, decision="rework", reason="too thin", by="M", role="releaser")
    batch = standing(*GOOD, (DAY_3, over))
    assert reasons(batch, now="2026-03-04T11:00:00+01:00") == (
        "pH after a day is not due before 2026-03-04 12:00.",
        "Appearance is due and not done.",
    )


def test_a_released_batch_can_still_be_called_back():
    out = (DAY_3, ev.BatchDecided(at_s=9.0, decision="released", reason="", by="M", role="releaser"))
    assert reasons(standing(*GOOD, out), "rejected") == ()
    assert "It is released already." in reasons(standing(*GOOD, out))


def test_a_maker_who_releases_their_own_batch_is_noted():
    assert notes_on("mara lind", standing()) == ("decided by the person who made it",)
    assert notes_on("Ida", standing()) == ()
