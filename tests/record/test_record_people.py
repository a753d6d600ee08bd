"""People: who may sign, a proof by PIN, and what happens after wrong ones. Names invented for the demo."""

from __future__ import annotations

import pytest

from benchapp import events as ev
from benchapp.record.journal import Journal
from benchapp.record.people import Proof, enrolment_problem, people_in, prove, retirement_problem
from benchapp.record.pins import hashed


class Clock:
    """A wall clock that a test sets."""

    def __init__(self):
        self.minute, self.second = 0, 0

    def __call__(self):
        return f"2026-03-01T09:{self.minute:02}:{self.second:02}+01:00"


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def house(tmp_path, clock):
    journal = Journal(tmp_path, clock)
    for who, roles, pin in (("Mara Lind", ("maker", "releaser"), "4711"), ("Jonas", ("helper",), "8203")):
        kept = hashed(pin, lambda n: b"s" * n)
        journal.append(ev.WORKSHOP, [ev.PersonEnrolled(at_s=0.0, who=who, roles=roles, pin=kept, by=who)])
    yield journal
    journal.close()


def test_the_right_pin_proves_who_it_is(house):
    assert prove(house, "mara lind ", "4711") == Proof(
        "Mara Lind", ("maker", "releaser"), "2026-03-01T09:00:00+01:00"
    )


def test_a_wrong_pin_is_on_disk_before_the_answer(house):
    assert prove(house, "Jonas", "0000") == "That is not the PIN of Jonas. Try again."
    (refused,) = house.of_kinds([ev.PinRefused])
    assert refused.event == ev.PinRefused(at_s=0.0, who="Jonas", times=1)


def test_after_three_wrong_ones_even_the_right_one_has_to_wait(house, clock):
    for _ in range(3):
        said = prove(house, "Jonas", "1357")
    assert said.endswith("Wait 30 s, then try again.")
    clock.second = 29
    assert prove(house, "Jonas", "8203") == "Too many wrong PINs for Jonas. Wait 1 s, then try again."
    assert len(house.of_kinds([ev.PinRefused])) == 3, "a try that isn't listened to doesn't lengthen the wait"
    clock.second = 30
    assert isinstance(prove(house, "Jonas", "8203"), Proof)


def test_one_persons_wait_is_nobody_elses(house):
    for _ in range(3):
        prove(house, "Jonas", "1357")
    assert isinstance(prove(house, "Mara Lind", "4711"), Proof)


def test_the_wait_survives_a_restart(house, tmp_path, clock):
    for _ in range(3):
        prove(house, "Jonas", "1357")
    again = Journal(tmp_path, clock)
    assert "Wait" in prove(again, "Jonas", "8203")
    again.close()


def test_the_right_pin_begins_the_count_anew(house, clock):
    prove(house, "Jonas", "1357")
    prove(house, "Jonas", "1357")
    prove(house, "Jonas", "8203")
    assert prove(house, "Jonas", "1357") == "That is not the PIN of Jonas. Try again."
    assert people_in(house).find("Jonas").refused[-1][1] == 1


def test_a_changed_pin_replaces_the_old_one(house):
    kept = hashed("5501", lambda n: b"t" * n)
    house.append(ev.WORKSHOP, [ev.PinChanged(at_s=0.0, who="Jonas", pin=kept, by="Mara Lind")])
    assert "not the PIN" in prove(house, "Jonas", "8203")
    assert isinstance(prove(house, "Jonas", "5501"), Proof)


def test_a_retired_person_signs_no_more(house):
    house.append(ev.WORKSHOP, [ev.PersonRetired(at_s=0.0, who="Jonas", by="Mara Lind", reason="moved away")])
    assert prove(house, "Jonas", "8203") == "Jonas is not enrolled here; enrolled: Mara Lind."


def test_there_is_always_somebody_who_may_decide(house, journal):
    assert "first person enrolled has to be a releaser" in enrolment_problem(
        people_in(journal), "Jonas", ("maker",)
    )
    assert retirement_problem(people_in(house), "Mara Lind").startswith("Mara Lind is the only releaser")
    assert retirement_problem(people_in(house), "Jonas") == ""


@pytest.mark.parametrize(
    ("who", "roles", "why"),
    [(" ", ("maker",), "Say who"), ("JONAS", ("maker",), "already"), ("Ida", ("boss",), "A role is one of"),
     ("Ida", (), "A role is one of"), ("Ida", ("maker",), "")],
)  # fmt: skip
def test_who_can_be_enrolled(house, who, roles, why):
    problem = enrolment_problem(people_in(house), who, roles)
    assert (why in problem) if why else problem == ""
