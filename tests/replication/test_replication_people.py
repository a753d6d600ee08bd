"""Who may sign on several benches: enrolled anywhere, retired anywhere, and a PIN that stays where it was set."""

from __future__ import annotations

import pytest
from benches import add, exchanged, on_server

from benchapp import events as ev
from benchapp.record.errors import JournalUnavailable
from benchapp.record.people import people_in, prove
from benchapp.record.pin_file import PinFile
from benchapp.record.pins import hashed
from benchapp.record.workshop import Workshop
from benchapp.replication.joining import leave
from benchapp.service.desk import Desk
from benchapp.service.errors import CommandError


def enrol(bench, who, pin, *roles):
    kept = hashed(pin, lambda n: b"0123456789abcdef"[:n])
    Workshop(bench.journal).add(ev.PersonEnrolled(at_s=0.0, who=who, roles=roles, pin=kept, by=who))


def test_who_is_enrolled_anywhere_is_known_everywhere_and_who_is_retired_signs_nowhere(pair):
    east, west = pair
    enrol(east, "Mara Lind", "4711", "releaser", "maker")
    assert people_in(west.journal).signing() == ()
    exchanged(east, west)
    assert people_in(west.journal).find("mara lind").roles == ("releaser", "maker")
    assert "has no PIN on this bench" in prove(west.journal, "Mara Lind", "4711", 0.0)
    assert personnel(west).change_pin("Mara Lind", "Mara Lind", "", "0815") == "Mara Lind has a new PIN."
    assert prove(west.journal, "Mara Lind", "0815", 0.0).roles == ("releaser", "maker")
    for _ in range(8):
        said = prove(west.journal, "Mara Lind", "0000", 0.0)
    assert said.startswith("Too many wrong PINs for Mara Lind."), "wrong ones are counted here too"
    Workshop(west.journal).add(ev.PersonRetired(at_s=0.0, who="Mara Lind", by="Jo Tern", reason="left"))
    exchanged(east, west)
    assert people_in(east.journal).find("Mara Lind") is None
    assert "not enrolled here" in prove(east.journal, "Mara Lind", "4711", 0.0)


def personnel(bench):
    return Desk(bench.journal.everywhere)


def test_a_pin_is_set_on_each_bench_and_its_hash_leaves_none(pair, workshop):
    """The first releaser by themselves, as the first person of all; everybody else by a releaser who has one there."""
    east, west = pair
    desk = personnel(east)
    desk.enrol("Mara Lind", ("releaser", "maker"), "", "", "4711")
    desk.enrol("Jo Tern", ("releaser",), "Mara Lind", "4711", "2580")
    exchanged(east, west)
    desk = personnel(west)
    with pytest.raises(CommandError, match="has no PIN on this bench"):
        desk.change_pin("Jo Tern", "Mara Lind", "4711", "1470")
    desk.change_pin("Mara Lind", "Mara Lind", "", "0815")
    with pytest.raises(CommandError, match="has no PIN on this bench"):
        desk.change_pin("Jo Tern", "Jo Tern", "2580", "1470")
    desk.change_pin("Jo Tern", "Mara Lind", "0815", "1470")
    exchanged(east, west)
    assert prove(west.journal, "Jo Tern", "1470", 0.0).who == "Jo Tern"
    assert "That is not the PIN" in prove(west.journal, "Jo Tern", "2580", 0.0)
    assert prove(east.journal, "Jo Tern", "2580", 0.0).who == "Jo Tern", "each bench has its own"
    for bench in (east, west):
        assert not any("scrypt" in text for text in bench.own())
        name = "east" if bench is east else "west"
        assert not any("scrypt" in text for text in on_server(workshop, name))


def test_a_hash_that_was_put_in_the_place_of_another_proves_nobody(pair):
    east, _ = pair
    personnel(east).enrol("Mara Lind", ("releaser",), "", "", "4711")
    pins = PinFile(east.folder)
    pins.keep("Mara Lind", hashed("2580", lambda n: b"0123456789abcdef"[:n]))
    assert "has no PIN on this bench" in prove(east.journal, "Mara Lind", "2580", 0.0)
    (east.folder / "pins.json").unlink()
    assert "has no PIN on this bench" in prove(east.journal, "Mara Lind", "4711", 0.0)
    with pytest.raises(CommandError, match="has no PIN on this bench"):
        personnel(east).change_pin("Mara Lind", "Mara Lind", "", "2580")
    (east.folder / "pins.json").write_text("[1]")
    with pytest.raises(JournalUnavailable, match="cannot be used"):
        prove(east.journal, "Mara Lind", "4711", 0.0)


def test_a_bench_that_takes_the_place_of_one_whose_pins_are_lost_begins_as_a_new_one(pair, workshop):
    from benches import TestBench

    east, west = pair
    personnel(east).enrol("Mara Lind", ("releaser",), "", "", "4711")
    exchanged(east, west)
    (east.folder / "pins.json").unlink()
    add(workshop, "east2", "F", "east")
    new = TestBench(east.folder.with_name("new"), workshop.url("east2"))
    try:
        new.join()
        new.know()
        exchanged(new, west)
        personnel(new).change_pin("Mara Lind", "Mara Lind", "", "2580")
        assert prove(new.journal, "Mara Lind", "2580", 0.0).who == "Mara Lind"
    finally:
        new.close()


def test_a_pin_from_before_it_joined_goes_on_there_and_nowhere_else(benches, workshop):
    east, west = benches("east", joined=False), benches("west")
    Desk(east.journal).enrol("Mara Lind", ("releaser",), "", "", "4711")
    assert any("scrypt" in text for text in east.own()), "alone it stands in the journal, as it always did"
    east.join()
    for bench in (east, west):
        bench.know()
    exchanged(east, west)
    assert prove(east.journal, "Mara Lind", "4711", 0.0).who == "Mara Lind"
    assert "has no PIN on this bench" in prove(west.journal, "Mara Lind", "4711", 0.0)
    personnel(east).change_pin("Mara Lind", "Mara Lind", "4711", "2580")
    assert "That is not the PIN" in prove(east.journal, "Mara Lind", "4711", 0.0)
    leave(east.journal)
    assert prove(east.journal, "Mara Lind", "2580", 0.0).who == "Mara Lind", "alone again"
