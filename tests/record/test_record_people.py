"""People: who may sign, a proof by PIN, and what happens after wrong ones. Names invented for the demo."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest

from benchapp import events as ev
from benchapp.record.journal import Journal
from benchapp.record.people import Proof, enrolment_problem, people_in, prove, retirement_problem
from benchapp.record.pins import hashed


class Clock:
    """The wall's clock and the computer's own, which a test sets."""

    def __init__(self):
        self.day, self.second, self.running_s = 1, 0, 5000.0

    def __call__(self):
        return f"2026-03-{self.day:02}T09:00:{self.second:02}+01:00"

    def goes_on(self, seconds):
        self.second += seconds
        self.running_s += seconds


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


def test_the_right_pin_proves_who_it_is(house, clock):
    assert prove(house, "mara lind ", "4711", clock.running_s) == Proof(
        "Mara Lind", ("maker", "releaser"), "2026-03-01T09:00:00+01:00"
    )


def test_a_wrong_pin_is_on_disk_before_the_answer(house, clock):
    assert prove(house, "Jonas", "0000", clock.running_s) == "That is not the PIN of Jonas. Try again."
    (refused,) = house.of_kinds([ev.PinRefused])
    assert refused.event == ev.PinRefused(at_s=5000.0, who="Jonas", times=1)


def test_after_three_wrong_ones_even_the_right_one_has_to_wait(house, clock):
    for _ in range(3):
        said = prove(house, "Jonas", "1357", clock.running_s)
    assert said.endswith("Wait 30 s, then try again.")
    clock.goes_on(29)
    assert (
        prove(house, "Jonas", "8203", clock.running_s)
        == "Too many wrong PINs for Jonas. Wait 1 s, then try again."
    )
    assert len(house.of_kinds([ev.PinRefused])) == 3, "a try that isn't listened to doesn't lengthen the wait"
    clock.goes_on(1)
    assert isinstance(prove(house, "Jonas", "8203", clock.running_s), Proof)


def test_one_persons_wait_is_nobody_elses(house, clock):
    for _ in range(3):
        prove(house, "Jonas", "1357", clock.running_s)
    assert isinstance(prove(house, "Mara Lind", "4711", clock.running_s), Proof)


def test_the_wait_survives_a_restart(house, tmp_path, clock):
    for _ in range(3):
        prove(house, "Jonas", "1357", clock.running_s)
    again = Journal(tmp_path, clock)
    assert "Wait" in prove(again, "Jonas", "8203", clock.running_s)
    again.close()


def test_a_clock_set_forward_ends_no_wait(house, clock):
    for _ in range(3):
        prove(house, "Jonas", "1357", clock.running_s)
    clock.day = 2
    assert "Wait 30 s" in prove(house, "Jonas", "8203", clock.running_s)
    clock.running_s += 30
    assert isinstance(prove(house, "Jonas", "8203", clock.running_s), Proof)


def test_nor_does_a_computer_started_anew_with_its_clock_set_forward(house, clock):
    for _ in range(3):
        prove(house, "Jonas", "1357", clock.running_s)
    clock.day, clock.running_s = 2, 12.0
    assert "Wait 18 s" in prove(house, "Jonas", "8203", clock.running_s)


def test_a_clock_that_lost_its_date_locks_nobody_out(house, clock):
    clock.day = 9
    for _ in range(3):
        prove(house, "Jonas", "1357", clock.running_s)
    clock.day = 1
    clock.running_s += 30
    assert isinstance(prove(house, "Jonas", "8203", clock.running_s), Proof)


def test_tries_at_the_same_time_are_all_counted(house, tmp_path, clock):
    def tried(_):
        journal = Journal(tmp_path, clock)
        try:
            return prove(journal, "Jonas", "1357", clock.running_s)
        finally:
            journal.close()

    with ThreadPoolExecutor(12) as pool:
        said = list(pool.map(tried, range(12)))
    assert sum("That is not the PIN" in answer for answer in said) == 3
    assert sum("Too many wrong PINs" in answer for answer in said) == 9
    assert [s.event.times for s in house.of_kinds([ev.PinRefused])] == [1, 2, 3]


@pytest.mark.parametrize(
    "who",
    ["Mara  Lind", "MaraLind", "mara lind.".rstrip("."), "М\u0430ra Lind", "Mara Lind\u200b", "Ｍａｒａ Lind", "Μara Lιnd",
     "Mara L\u0456nd", "Mara Llnd".replace("Ll", "LI")],
)  # fmt: skip
def test_a_name_that_looks_like_anothers_is_refused(house, who):
    assert enrolment_problem(people_in(house), who, ("maker",)), who


@pytest.mark.parametrize("who", ["Mara Lund", "Mara Lindt", "Jona", "Марина", "Ελένη", "Zoë"])
def test_a_name_of_its_own_is_not(house, who):
    assert enrolment_problem(people_in(house), who, ("maker",)) == ""


def test_nor_may_somebody_retired_come_back_as_a_lookalike_but_as_themselves(house):
    house.append(ev.WORKSHOP, [ev.PersonRetired(at_s=0.0, who="Jonas", by="Mara Lind", reason="moved away")])
    assert enrolment_problem(people_in(house), "Jonas", ("maker",)) == ""
    assert "looks like Jonas" in enrolment_problem(people_in(house), "Jоnas", ("maker",))


def test_the_right_pin_begins_the_count_anew(house, clock):
    prove(house, "Jonas", "1357", clock.running_s)
    prove(house, "Jonas", "1357", clock.running_s)
    prove(house, "Jonas", "8203", clock.running_s)
    assert prove(house, "Jonas", "1357", clock.running_s) == "That is not the PIN of Jonas. Try again."
    assert people_in(house).find("Jonas").refused.times == 1


def test_a_changed_pin_replaces_the_old_one(house, clock):
    kept = hashed("5501", lambda n: b"t" * n)
    house.append(ev.WORKSHOP, [ev.PinChanged(at_s=0.0, who="Jonas", pin=kept, by="Mara Lind")])
    assert "not the PIN" in prove(house, "Jonas", "8203", clock.running_s)
    assert isinstance(prove(house, "Jonas", "5501", clock.running_s), Proof)


def test_a_retired_person_signs_no_more(house, clock):
    house.append(ev.WORKSHOP, [ev.PersonRetired(at_s=0.0, who="Jonas", by="Mara Lind", reason="moved away")])
    assert (
        prove(house, "Jonas", "8203", clock.running_s) == "Jonas is not enrolled here; enrolled: Mara Lind."
    )


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
