"""The commands of the workshop's desk, from the first person enrolled to a recall. Invented for the demo."""

from __future__ import annotations

import subprocess
import sys

import pytest
from desk_commands import BATCH, THEN, release_it, sign
from workshop_days import FINISHED, started

from benchapp import events as ev
from benchapp.record.journal import Journal


def test_a_finished_batch_says_what_it_waits_for(finished):
    code, said = finished("due")
    assert code == 0
    assert "2024-03-02 12:00" in said
    assert "pH after a day" in said
    code, said = finished("release", BATCH)
    assert code == 3
    assert "Deviation 1 (minor) is open" in said
    assert "pH after a day is due and not done" in said
    assert "No ceiling known for: " in said
    assert "The market's current law decides" in said


def test_a_batch_whose_procedure_cannot_be_read_any_more_is_listed_and_not_released_by_guess(
    finished, tmp_path
):
    journal = Journal(tmp_path, lambda: THEN)
    journal.append("old-1", [started("old-1"), FINISHED])
    journal.close()
    code, said = finished("due")
    assert (code, "old-1" in said, "pH after a day" in said) == (0, True, True)
    code, said = sign(finished, "release", "old-1", "--decision", "released")
    assert code == 6
    assert "cannot be read by this version" in said
    assert sign(finished, "release", "old-1", "--decision", "rejected", "--reason", "too old")[0] == 0


def test_nothing_is_released_early(finished):
    code, said = sign(finished, "release", BATCH, "--decision", "released")
    assert code == 3
    assert "Deviation 1 (minor) is open" in said
    code, said = sign(finished, "dispatch", BATCH, "1-2", "Pier Shop")
    assert (code, "not released" in said) == (3, True)


def test_from_checks_to_release_to_dispatch_to_recall(finished):
    code, said = release_it(finished)
    assert (code, "released." in said) == (0, True), said
    listed = finished("batches")[1]
    assert ("released" in listed, "finished" in listed) == (True, False), (
        "what was decided, not only how it ended"
    )
    assert sign(finished, "dispatch", BATCH, "1-2", "Pier Shop", "--note", "N-7")[0] == 0
    assert "no lot 'oil-99' here" in finished("trace", "oil-99")[1]
    code, said = finished("recall", "oil-1")
    assert code == 0
    assert "Pier Shop" in said
    assert "1 to call about 2 containers of 1 batch" in said
    assert "container 3 is still here. Put it aside." in said
    code, said = finished("trace", f"{BATCH}/2")
    assert ("oil-1" in said, "Harbour Oils" in said, "Pier Shop" in said) == (True, True, True)
    code, said = finished("trace", "oil-1")
    assert "1 965.0 g left" in said
    assert finished("due") == (0, "No finished batch waits for a decision.\n")
    code, said = finished("verify")
    assert (code, "each as it was written" in said) == (0, True)


def test_a_helper_cannot_release_nor_somebody_with_a_wrong_pin(finished):
    code, said = finished(
        "release", BATCH, "--decision", "rejected", "--reason", "x", "--by", "Jonas", keyed="8203\n"
    )
    assert (code, "no releaser" in said) == (3, True)
    code, said = sign(finished, "release", BATCH, "--decision", "rejected", "--reason", "split", pin="0000")
    assert (code, "not the PIN of Mara" in said) == (3, True)
    code, said = sign(finished, "release", BATCH, "--decision", "rejected", "--reason", "split")
    assert (code, "rejected" in said) == (0, True)


def test_a_check_with_limits_is_judged_by_its_number(finished):
    code, said = sign(finished, "batch-check", BATCH, "pH after a day", "--value", "6.4")
    assert (code, "failed" in said) == (0, True)
    code, said = sign(finished, "batch-check", BATCH, "pH after a day", "--value", "5.4")
    assert (code, "failed before" in said) == (3, True)


def test_lots_are_judged_counted_opened_and_listed(finished):
    assert sign(finished, "lot", "open", "oil-1", "--on", "2026-03-01")[0] == 0
    assert (
        "the book had 1 965.0 g"
        in sign(finished, "lot", "count", "oil-1", "1900 g", "--reason", "weighed")[1]
    )
    assert sign(finished, "lot", "judge", "oil-1", "quarantined", "--reason", "smell")[0] == 0
    assert "quarantined" in finished("lot", "list")[1]
    more = sign(finished, "lot", "count", "oil-1", "2500 g", "--reason", "weighed")[1]
    assert "That is more than the 2 000.0 g received" in more
    assert sign(finished, "lot", "count", "oil-1", "1900 g", "--reason", "a digit too many")[0] == 0
    received = ("lot", "receive", "jar-3", "jar-100", "200 pieces")
    assert sign(finished, *received)[0] == 0
    assert sign(finished, "pack", BATCH, "jar-3", "4", "--spoiled", "1")[0] == 0
    assert "196 pieces" in finished("lot", "list", "jar-100")[1]
    assert "kept in g" in sign(finished, "pack", BATCH, "oil-1", "4")[1]
    code, said = sign(finished, "pack", BATCH, "jar-3", "197")
    assert (code, "Lot jar-3 has 196 pieces by the book: count it first." in said) == (3, True)


def test_a_workshop_of_nobody_can_keep_lots_but_not_release(desk):
    args = ("lot", "receive", "w-1", "purified-water", "20 kg", "--by", "Mara")
    assert desk(*args)[0] == 0
    code, said = desk("master", "approve", "oat-hand-lotion", "--reason", "x", "--by", "Mara")
    assert (code, "person enrol" in said) == (3, True)


def test_a_correction_stands_beside_what_it_corrects(finished):
    code, said = sign(finished, "correct", BATCH, "3", "net_g", "36", "--reason", "read too early")
    assert (code, "net weight was 35.0, is 36" in said) == (0, True)
    assert "corrected" in finished("trace", BATCH)[1]
    assert "1 964.0 g left" in finished("trace", "oil-1")[1]


def test_what_is_corrected_goes_by_its_plain_name_too(finished):
    code, said = sign(finished, "correct", BATCH, "3", "net weight", "36", "--reason", "read too early")
    assert (code, "net weight was 35.0, is 36" in said) == (0, True), said
    said = sign(finished, "correct", BATCH, "3", "grams", "36", "--reason", "x")[1]
    assert (
        "There is no grams in it that can be corrected; there is ingredient (line), vessel, net weight"
        in said
    )
    assert "crept_g" not in said


@pytest.mark.parametrize(
    ("command", "sentence"),
    [
        (("correct", BATCH, "99", "net_g", "36", "--reason", "x"), "has no event 99"),
        (("correct", BATCH, "3", "net_g", "a lot", "--reason", "x"), "net weight is a number"),
        (("close-deviation", BATCH, "9", "--reason", "x"), "has no deviation 9"),
        (("batch-check", "b-99", "Taste", "--passed"), "There is no batch"),
        (("retain", "b-99", "1", "--where", "shelf", "--until", "2099-01-01"), "There is no batch"),
        (("dispatch", "b-99", "1", "Pier Shop"), "There is no batch"),
        (("pack", BATCH, "jar-99", "4"), "There is no lot 'jar-99'"),
        (("lot", "open", "oil-99"), "There is no lot 'oil-99'"),
        (("lot", "judge", "oil-99", "rejected", "--reason", "x"), "There is no lot 'oil-99'"),
        (("lot", "count", "oil-99", "1 kg", "--reason", "x"), "There is no lot 'oil-99'"),
        (("lot", "count", "oil-1", "1 pieces", "--reason", "x"), "is kept in g"),
        (("lot", "price", "oil-99", "12 EUR"), "There is no lot 'oil-99'"),
    ],
)
def test_no_pin_is_asked_for_what_cannot_be_done_anyway(finished, command, sentence):
    code, said = finished(*command, "--by", "Mara")
    assert (code, sentence in said) == (3, True), said


def test_the_samples_kept_back_stand_with_the_batch(finished):
    assert sign(finished, "retain", BATCH, "1", "--where", "cold box", "--until", "2027-03-01")[0] == 0
    assert "1 kept back: cold box, until 2027-03-01" in finished("release", BATCH)[1]


def test_what_is_kept_back_does_not_leave_and_nothing_leaves_tomorrow(finished):
    assert sign(finished, "retain", BATCH, "2", "--where", "cold box", "--until", "2099-03-01")[0] == 0
    code, said = sign(finished, "retain", BATCH, "2", "--where", "shelf", "--until", "2099-03-01")
    assert (code, "2 of its 3 containers are kept back" in said) == (3, True), said
    assert release_it(finished)[0] == 0
    code, said = sign(finished, "dispatch", BATCH, "1", "Pier Shop", "--on", "2099-01-01")
    assert (code, "2099-01-01 is still to come" in said) == (3, True)
    code, said = sign(finished, "dispatch", BATCH, "1-2", "Pier Shop")
    assert (code, "2 of its 3 containers are kept back" in said) == (3, True), said
    assert sign(finished, "dispatch", BATCH, "1", "Pier Shop")[0] == 0
    assert sign(finished, "dispatch", BATCH, "2", "Pier Shop")[0] == 3


@pytest.mark.parametrize(
    ("args", "sentence", "code"),
    [
        (("trace", "nothing"), "There is no batch", 3),
        (("recall", "nothing"), "There is no lot", 3),
        (("verify", "nothing"), "There is no batch", 3),
        (("release", "nothing"), "There is no batch", 3),
        (("lot", "count", "oil-9", "2 kg", "--reason", "x", "--by", "Mara"), "There is no lot", 3),
        (("lot", "count", "oil-1", "2 pieces", "--reason", "x", "--by", "Mara"), "is kept in g", 3),
        (("lot", "receive", "oil-1", "sunflower-oil", "2 kg", "--by", "Mara"), "There is a lot oil-1", 3),
        (("lot", "receive", "oil-2", "sunflower-oil", "much", "--by", "Mara"), "much", 3),
        (
            ("lot", "receive", "p", "premix", "1 kg", "--made-in", "b9", "--by", "Mara"),
            "There is no batch",
            3,
        ),
        (("batch-check", BATCH, "Taste", "--passed", "--by", "Mara"), "has no release check 'Taste'", 3),
        (("batch-check", BATCH, "Appearance after a day", "--by", "Mara"), "Say whether it is", 3),
        (("close-deviation", BATCH, "9", "--reason", "x", "--by", "Mara"), "has no deviation 9", 3),
        (("dispatch", BATCH, "all", "Pier", "--by", "Mara"), "names no containers", 3),
        (
            ("correct", BATCH, "3", "nonsense", "x", "--reason", "y", "--by", "Mara"),
            "There is no nonsense in it",
            3,
        ),
        (("correct", BATCH, "99", "net_g", "x", "--reason", "y", "--by", "Mara"), "has no event 99", 3),
        (("correct", BATCH, "3", "lot", "oil-9", "--reason", "y", "--by", "Mara"), "no lot 'oil-9'", 3),
        (("person", "enrol", "Mara", "--role", "maker", "--by", "Mara"), "enrolled already", 3),
        (("person", "retire", "Mara", "--reason", "x", "--by", "Mara"), "only releaser", 3),
        (("release", BATCH, "--decision", "released"), "Say which releaser", 3),
        (("lot", "receive", "oil-1 ", "sunflower-oil", "2 kg", "--by", "Mara"), "There is a lot oil-1", 3),
        (("lot", "receive", "OIL-1", "sunflower-oil", "2 kg", "--by", "Mara"), "looks like lot oil-1", 3),
        (("lot", "receive", "oil-l", "sunflower-oil", "2 kg", "--by", "Mara"), "looks like lot oil-1", 3),
        (("lot", "receive", "оil-1", "sunflower-oil", "2 kg", "--by", "Mara"), "looks like lot oil-1", 3),
        (("lot", "receive", "oil-2", "sunflower-oil", "1 mg", "--by", "Mara"), "more than nothing", 3),
        (
            ("lot", "receive", "oil-2", "sunflower-oil", "2 kg", "--received", "2099-01-01", "--by", "Mara"),
            "2099-01-01 is still to come",
            3,
        ),
        (("lot", "open", "oil-1", "--on", "2099-01-01", "--by", "Mara"), "2099-01-01 is still to come", 3),
        (("lot", "judge", "oil-1", "rejected", "--reason", " ", "--by", "Mara"), "Say why.", 3),
        (("lot", "count", "oil-1", "1 kg", "--reason", "", "--by", "Mara"), "Say why.", 3),
        (
            ("lot", "receive", "oil-2", "sunflower-oil", "2000 kg", "--by", "Mara"),
            "between 0 and 1000000 g",
            3,
        ),
        (("person", "retire", "Jonas", "--reason", "", "--by", "Mara"), "Say why.", 3),
        (
            ("retain", BATCH, "4", "--where", "shelf", "--until", "2099-01-01", "--by", "Mara"),
            "0 of its 3 containers are kept back",
            3,
        ),
        (("retain", BATCH, "1", "--where", "", "--until", "2099-01-01", "--by", "Mara"), "Say where", 3),
        (
            ("retain", BATCH, "1", "--where", "shelf", "--until", "2020-01-01", "--by", "Mara"),
            "2020-01-01 is past",
            3,
        ),
        (
            ("complaint", "receive", BATCH, "it drips", "--on", "2099-01-01", "--by", "Mara"),
            "2099-01-01 is still to come",
            3,
        ),
    ],
)
def test_every_mistake_is_one_sentence_and_an_exit_code(finished, args, sentence, code):
    got, said = finished(*args, keyed="4711\n")
    assert sentence in said
    assert got == code


@pytest.mark.parametrize(
    "command", [("verify",), ("trace", "oil-1"), ("recall", "oil-1"), ("backup", "copy.sqlite")]
)
def test_a_folder_without_a_journal_is_not_taken_for_a_workshop_without_a_past(desk, tmp_path, command):
    code, said = desk(*command)
    assert (code, "There is no journal in" in said) == (3, True)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    "command",
    [("lot", "judge", "oil-1", "usable", "--reason", "looks fine"),
     ("correct", BATCH, "3", "net_g", "36", "--reason", "x"), ("close-deviation", BATCH, "1", "--reason", "x")],
)  # fmt: skip
def test_what_a_helper_may_not_do(finished, command):
    code, said = finished(*command, "--by", "Jonas", keyed="8203\n")
    assert code == 3
    assert "takes a" in said or "no releaser" in said


@pytest.mark.parametrize("keyed", ["4711\n12\n12\n", "4711\n8888\n8888\n", "4711\n5501\n5502\n"])
def test_a_new_pin_has_to_be_one_and_the_same_twice(finished, keyed):
    code, said = finished("person", "pin", "Jonas", "--by", "Mara", keyed=keyed)
    assert (code, "PIN" in said) == (3, True)


def test_people_are_listed_changed_and_retired_without_a_pin_on_the_screen(finished):
    assert finished("person", "pin", "Jonas", "--by", "Jonas", keyed="8203\n5501\n5501\n")[0] == 0
    assert finished("person", "retire", "Jonas", "--reason", "left", "--by", "Mara", keyed="4711\n")[0] == 0
    said = finished("person", "list")[1]
    assert ("retired" in said, "scrypt" in said, "5501" in said) == (True, False, False)


def test_the_pin_comes_through_a_pipe_in_a_process_of_its_own(tmp_path):
    done = subprocess.run(
        [sys.executable, "-m", "benchapp.cli", "person", "enrol", "Mara", "--role", "releaser", "--data",
         str(tmp_path)],
        input="4711\n4711\n", text=True, capture_output=True, timeout=60,
    )  # fmt: skip
    assert (done.returncode, done.stdout, done.stderr) == (0, "Mara is enrolled as releaser.\n", "")


def test_a_note_waits_for_nobody_and_is_not_called_open(finished, tmp_path):
    journal = Journal(tmp_path, lambda: THEN)
    note = ev.DeviationNoted(
        at_s=2.5,
        number=2,
        grade=ev.Grade.NOTE,
        kind="held",
        step="04-heat",
        text="held for 2 min: the telephone",
    )
    journal.append(BATCH, [note])
    journal.close()
    assert "Deviation 2, note: held for 2 min: the telephone (noted)" in finished("release", BATCH)[1]
