"""What was mistyped when a lot was received or care was planned is refused before it is in the way. Invented for the demo."""

from __future__ import annotations

from desk_commands import BATCH, sign

from benchapp import events as ev
from benchapp.record.aftercare import MOST_DAYS, care_in


def test_a_lot_is_not_called_as_a_batch_is(finished):
    """A trace of that name would be of the lot alone, and nobody would find the batch by it."""
    receive = ("lot", "receive", BATCH, "rose-premix", "290 g", "--made-in", BATCH)
    code, said = sign(finished, *receive)
    assert (code, f"{BATCH} is a batch's name" in said) == (3, True)
    assert "made by Jonas" in finished("trace", BATCH)[1]


def test_a_lot_is_of_some_material(finished):
    code, said = sign(finished, "lot", "receive", "oil-5", " ", "1 kg")
    assert (code, "Say which material it is." in said) == (3, True)


def test_care_that_nobody_lives_to_see_is_not_planned(finished):
    assert sign(finished, "care", "plan", "scale", "calibration", "--every", "99999999999")[0] == 3
    assert sign(finished, "care", "plan", "scale", "calibration", "--every", str(MOST_DAYS))[0] == 0
    assert sign(finished, "care", "done", "scale", "calibration", "--found", "ok")[0] == 0


def test_care_that_an_older_program_let_be_planned_so_is_listed_all_the_same(journal):
    plan = ev.CarePlanned(at_s=0.0, equipment="scale", task="calibration", every_days=99_999_999_999, by="M")
    done = ev.CareDone(
        at_s=0.0,
        equipment="scale",
        task="calibration",
        on="2026-02-20",
        words="ok",
        passed=True,
        by="M",
    )
    journal.append(ev.WORKSHOP, [plan, done])
    (care,) = care_in(journal.of_kinds([ev.CarePlanned, ev.CareDone], ev.WORKSHOP))
    assert care.due == "2126-02-21"
