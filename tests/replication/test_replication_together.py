"""What the desk and a make know of the other benches: their lots with what is left of them, what they blocked, who may sign, and
why a batch may not leave."""

from __future__ import annotations

import json
import threading
from dataclasses import make_dataclass

import pytest
from acting import begun_rehearsal
from benches import add, on_server
from workshop_days import FINISHED, delivery, filled, in_hand, made, started, weight

from benchapp import events as ev
from benchapp.make.inputs import Resume
from benchapp.record.chain import link
from benchapp.record.elsewhere import Conflict
from benchapp.record.errors import JournalUnavailable, NotAllowed
from benchapp.record.people import people_in, prove
from benchapp.record.pin_file import PinFile
from benchapp.record.pins import hashed
from benchapp.record.workshop import Workshop
from benchapp.replication.chain_row import ChainHead, ChainRow
from benchapp.replication.joining import leave
from benchapp.replication.replicator import exchange_once
from benchapp.replication.seals import bench_of, compare
from benchapp.replication.server import PART, Server
from benchapp.replication.server_connection import connected
from benchapp.replication.together import Together
from benchapp.service.bench_service import BenchService
from benchapp.service.desk import Desk
from benchapp.service.errors import CommandError
from benchapp.service.interrupting import interrupted_by
from benchapp.service.lots import lots_on_hand
from benchapp.service.several_benches import knowing_others, workshop_status


def exchanged(*benches):
    """Everybody sends, and then everybody has received."""
    for bench in (*benches, *benches[:-1]):
        bench.sync()


@pytest.fixture
def pair(benches):
    """East with a kilogram of oil, west with water, and each knows of the other's."""
    east, west = benches("east"), benches("west")
    Workshop(east.journal).receive(delivery("E-oil-1"))
    Workshop(west.journal).receive(delivery("W-water-1", "purified-water"))
    exchanged(east, west)
    for bench in (east, west):
        bench.know()
    return east, west


def left(bench, lot):
    return Workshop(bench.journal).lots().lots[lot].left


def judge(bench, lot, state):
    Workshop(bench.journal).about_lot(
        ev.LotJudged(at_s=0.0, lot=lot, state=state, reason="rancid", by="Mara Lind")
    )


def test_lots_of_all_benches_are_on_hand_on_each(pair):
    for bench in pair:
        assert {x.lot: x.left_g for x in lots_on_hand(bench.journal)} == {
            "E-oil-1": 1000.0,
            "W-water-1": 1000.0,
        }


def test_what_is_drawn_anywhere_is_gone_everywhere(pair):
    east, west = pair
    made(west.journal, "20261128-lotion-W-1", {"sunflower-oil": ("E-oil-1", 300.0)})
    made(east.journal, "20261128-lotion-E-1", {"sunflower-oil": ("E-oil-1", 50.0)})
    made(west.journal, "20261128-lotion-W-2", {"sunflower-oil": ("E-oil-1", 500.0)}, rehearsal=True)
    assert (left(east, "E-oil-1"), left(west, "E-oil-1")) == (950.0, 700.0), "what it knows of just now"
    exchanged(east, west)
    assert left(east, "E-oil-1") == left(west, "E-oil-1") == 650.0
    fix = ev.Corrected(
        at_s=0.0, n=3, field="net_g", old="300.0", new="330.0", reason="misread", by="Mara Lind"
    )
    west.journal.append("20261128-lotion-W-1", [fix])
    count = ev.LotCounted(at_s=0.0, lot="E-oil-1", quantity=500.0, reason="weighed", by="Mara Lind")
    Workshop(west.journal).about_lot(count)
    exchanged(east, west)
    assert left(east, "E-oil-1") == left(west, "E-oil-1") == 500.0, "the count knew of everything"


def test_an_empty_lot_of_another_bench_can_be_counted(pair):
    east, west = pair
    made(east.journal, "20261128-lotion-E-1", {"sunflower-oil": ("E-oil-1", 1000.0)})
    exchanged(east, west)
    assert "E-oil-1" not in Workshop(west.journal).lots().lots, "what is empty is not offered"
    count = ev.LotCounted(at_s=0.0, lot="E-oil-1", quantity=20.0, reason="there is some", by="Mara Lind")
    Workshop(west.journal).about_lot(count)
    exchanged(east, west)
    assert left(east, "E-oil-1") == left(west, "E-oil-1") == 20.0


def test_a_lot_drawn_below_nothing_by_two_is_said_on_both(pair):
    east, west = pair
    for bench, name in ((east, "E"), (west, "W")):
        made(bench.journal, f"20261128-lotion-{name}-1", {"sunflower-oil": ("E-oil-1", 700.0)})
    exchanged(east, west)
    for bench in pair:
        (found,) = bench.journal.elsewhere.conflicts()
        assert found.lot == "E-oil-1"
        assert found.said.startswith("Lot E-oil-1: 400 g more went out than came in. Count it: used on ")


def test_a_lot_blocked_elsewhere_may_be_used_nowhere(pair):
    east, west = pair
    judge(west, "E-oil-1", "rejected")
    exchanged(east, west)
    (oil,) = (x for x in lots_on_hand(east.journal) if x.lot == "E-oil-1")
    assert oil.why_not == "Lot E-oil-1 of sunflower oil was rejected (rancid). Take another lot."
    judge(east, "E-oil-1", "usable")
    exchanged(east, west)
    assert Workshop(west.journal).lots().lots["E-oil-1"].state == "usable", "east knew, and judged again"


def test_two_judgements_that_did_not_know_of_each_other_hold_the_stricter(pair, workshop):
    east, west = pair
    judge(west, "E-oil-1", "quarantined")
    judge(east, "E-oil-1", "usable")
    exchanged(east, west)
    for bench in pair:
        assert Workshop(bench.journal).lots().lots["E-oil-1"].state == "quarantined"
        assert "It counts as quarantined." in bench.journal.elsewhere.conflicts()[0].said
    said = workshop_status_of(east).splitlines()
    assert (
        said[0].startswith(("Everything is sent", "This bench has sent and received everything"))
        or " of this bench " in said[0]
    )
    assert said[1].startswith(f"{workshop.role('west')} (W): 5 events are here; last heard of ")
    assert "It counts as quarantined." in said[2]
    shop = BenchService(east.journal, None, "Mara Lind", folder=east.folder, workshop=lambda: said[0])
    facts = shop.facts()
    assert facts.workshop == said[0]
    assert said[2].startswith(facts.matters[0].what), (
        "what does not go together stands first on the bench page"
    )


def workshop_status_of(bench):
    (bench.folder / "workshop.json").write_text(f'{{"server": "{bench.address.given}"}}')
    return workshop_status(bench.journal, bench.folder)


# --- a make that runs --------------------------------------------------------------------------------------


def test_a_lot_blocked_elsewhere_interrupts_the_make_it_is_in(pair, lotion):
    """Once, with the reason in the record; to go on is the maker's."""
    east, west = pair
    rehearsal = begun_rehearsal(east.journal, lotion)
    session = rehearsal.session
    session.write_down(in_hand("E-oil-1"))
    hook = interrupted_by(session, lambda: east.journal.elsewhere.blocked)
    hook(session.view())
    judge(west, "W-water-1", "rejected")
    exchanged(east, west)
    east.journal.elsewhere.look()
    hook(session.view())
    assert held(session) == [], "that one is not in it"
    judge(west, "E-oil-1", "rejected")
    exchanged(east, west)
    east.journal.elsewhere.look()
    for _ in range(3):
        hook(session.view())
    (why,) = held(session)
    assert why.startswith("Lot E-oil-1 of sunflower oil was rejected on the bench ")
    assert why.endswith("(rancid). It is in this batch.")
    session.put(Resume(session.clock()))
    hook(session.view())
    assert len(held(session)) == 1
    rehearsal.close()


def held(session):
    return [e.reason for e in session._journal.events(session.batch) if isinstance(e, ev.MakeHeld)]


# --- release -----------------------------------------------------------------------------------------------


BATCH = "20261128-lotion-E-1"


def against(bench):
    return Workshop(bench.journal).against_elsewhere(BATCH)


def test_release_is_refused_while_who_contributed_is_known_to_be_behind(pair, workshop):
    east, west = pair
    made(east.journal, BATCH, {"purified-water": ("W-water-1", 300.0)})
    assert against(east) == ()
    with connected(west.address) as c:
        Server(c).announce(len(west.own()) + 7)
    east.sync()
    assert against(east) == (f"7 events of the bench {workshop.role('west')} are not here yet.",)
    assert against(east)[0] in Workshop(east.journal).against(BATCH, "released", "Mara Lind")
    assert against(east)[0] not in Workshop(east.journal).against(BATCH, "rejected", "Mara Lind")
    made(east.journal, "20261128-lotion-E-2", {"sunflower-oil": ("E-oil-1", 3.0)})
    assert Workshop(east.journal).against_elsewhere("20261128-lotion-E-2") == (), (
        "west has nothing to do with that one"
    )


def test_a_recall_says_what_of_the_other_benches_it_may_lack(pair, workshop):
    """A list to telephone by must not look whole where it is not."""
    east, west = pair
    desk = Desk(east.journal.everywhere)
    assert desk.recall("E-oil-1").head[1:] == ("All that the server has of the others is shown.",)
    assert not desk.trace("E-oil-1").head[0].startswith("It may lack")
    with connected(west.address) as c:
        Server(c).announce(len(west.own()) + 7)
    east.sync()
    lacks = f"It may lack what other benches made: 7 events of the bench {workshop.role('west')} are not here yet."
    assert desk.recall("E-oil-1").head[1] == lacks
    assert desk.trace("E-oil-1").head[0] == lacks
    east.wall.now = "2026-11-29T09:00:00.000+01:00"
    assert desk.recall("E-oil-1").head[2] == "The other benches are shown as of 2026-11-28 10:42."


def test_release_and_dispatch_are_refused_once_a_lot_is_blocked_elsewhere(pair, workshop):
    east, west = pair
    made(east.journal, BATCH, {"sunflower-oil": ("E-oil-1", 300.0)})
    released = ev.BatchDecided(at_s=4.0, decision="released", reason="", by="Mara Lind", role="releaser")
    east.journal.append(BATCH, [released])
    judge(west, "E-oil-1", "rejected")
    exchanged(east, west)
    why = f"Lot E-oil-1 of sunflower oil was rejected on the bench {workshop.role('west')} (rancid)."
    assert against(east) == (why,)
    sent = ev.Dispatched(at_s=4.0, first=1, last=2, to="Pier Shop", on="2026-11-28", note="", by="Mara Lind")
    with pytest.raises(NotAllowed, match="was rejected on the bench"):
        Workshop(east.journal).dispatch(BATCH, sent)


def test_two_decisions_on_one_batch_hold_the_stricter(pair, workshop):
    """The tablet that died wakes up, and decides about what was decided on the one that replaced it."""
    east, west = pair
    made(east.journal, BATCH, {"sunflower-oil": ("E-oil-1", 300.0)})
    exchanged(east, west)
    add(workshop, "east2", "F", "east")
    from benches import TestBench

    new = TestBench(east.folder.with_name("new"), workshop.url("east2"))
    new.join()
    new.know()

    def decide(bench, decision):
        event = ev.BatchDecided(
            at_s=4.0, decision=decision, reason="too thin", by="Mara Lind", role="releaser"
        )
        bench.journal.append(BATCH, [event])

    decide(new, "released")
    decide(east, "rejected")
    exchanged(new, east, west)
    assert "rejected, of the bench" in " ".join(x.said for x in west.journal.elsewhere.conflicts())
    assert f"On the bench {workshop.role('east')} it was decided: rejected (too thin)." in against(new)
    assert left(new, "E-oil-1") == left(west, "E-oil-1") == 700.0, "what both have of it is drawn once"
    new.close()


# --- people ------------------------------------------------------------------------------------------------


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
    from benches import TestBench, add

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


# --- before they joined ------------------------------------------------------------------------------------


def test_lots_of_one_name_from_before_are_kept_apart(benches, workshop):
    east, west = benches("east", joined=False), benches("west", joined=False)
    for bench, grams in ((east, 100.0), (west, 200.0)):
        bench.wall.now = f"2026-11-28T10:4{int(grams / 100)}:00.000+01:00"
        bench.journal.append(ev.WORKSHOP, [delivery("oil-1", quantity=1000.0 + grams)])
        made(bench.journal, "20261101-lotion-1", {"sunflower-oil": ("oil-1", grams)})
        bench.join()
        bench.know()
    exchanged(east, west)
    assert left(east, "oil-1") == left(west, "oil-1") == 1000.0
    assert left(east, "W-oil-1") == left(west, "E-oil-1") == 1000.0
    judge(east, "W-oil-1", "rejected")
    made(east.journal, "20261128-lotion-E-1", {"sunflower-oil": ("W-oil-1", 10.0)})
    exchanged(east, west)
    assert left(west, "oil-1") == left(east, "W-oil-1") == 990.0
    book = Workshop(west.journal).lots().lots
    assert (book["oil-1"].state, book["E-oil-1"].state) == ("rejected", "usable")
    assert "was received on" in west.journal.elsewhere.conflicts()[0].said


def test_a_bench_that_knows_nobody_yet_answers_as_alone(benches):
    east = benches("east")
    Workshop(east.journal).receive(delivery("E-oil-1"))
    east.know()
    assert left(east, "E-oil-1") == 1000.0
    assert east.journal.elsewhere.conflicts() == ()


def test_what_a_newer_program_wrote_is_said_and_the_rest_stands(pair, workshop, monkeypatch):
    east, west = pair
    made(west.journal, "20261128-lotion-W-1", {"sunflower-oil": ("E-oil-1", 300.0)})
    judge(west, "E-oil-1", "rejected")
    exchanged(east, west)
    older = make_dataclass("LotJudged", [("lot", str)], bases=(ev.Event,), frozen=True, kw_only=True)
    monkeypatch.setitem(ev.KINDS, "LotJudged", older)
    assert left(east, "E-oil-1") == 700.0
    assert (
        f"the bench {workshop.role('west')} wrote is partly of a newer version"
        in east.journal.elsewhere.conflicts()[0].said
    )


def test_what_has_no_form_this_version_knows_holds_up_nothing(pair, workshop):
    """A bench that sends nonsense: it is said, and everything else is answered."""
    east, west = pair
    odd = [
        ("LotReceived", {}),
        ("LotJudged", {"at_s": 0.0, "lot": "E-oil-1", "state": "hexed", "reason": "?", "by": "?"}),
        ("HeadsReceived", {"heads": "none"}),
        ("WeightTaken", {"lot": "E-oil-1"}),
    ]
    with connected(west.address) as c:
        server = Server(c)
        head = server.head(server.role)
        for kind, fields in odd:
            said = {
                "batch": "w-9",
                "fields": fields,
                "kind": kind,
                "n": 1,
                "wall": "2026-11-28T10:42:00.000+01:00",
            }
            text = json.dumps(said)
            row = ChainRow(server.role, head.seq + 1, text, head.hash, link(head.hash, text))
            assert server.add([row])
            head = ChainHead(row.seq, row.hash)
    east.sync()
    assert left(east, "E-oil-1") == 1000.0
    assert "is partly of a newer version" in " ".join(x.said for x in east.journal.elsewhere.conflicts())
    assert "E-oil-1" in east.journal.elsewhere.blocked, "a state nobody knows blocks it"
    assert "wrote down of others cannot be read" in " ".join(compare(east.journal, east.others).altered)


def test_a_damaged_file_of_the_others_stops_no_make_and_no_batch_leaves(pair):
    east, _ = pair
    made(east.journal, BATCH, {"sunflower-oil": ("E-oil-1", 300.0)})
    east.journal.elsewhere = None
    east.others.close()
    (east.folder / "workshop.json").write_text('{"server": "service=workshop"}')
    for file in east.folder.glob("others.sqlite*"):
        file.write_bytes(b"no database" * 1000)
    with knowing_others(east.journal, east.folder):
        assert {x.lot for x in lots_on_hand(east.journal)} == {"E-oil-1"}
        assert "is damaged" in against(east)[0]
        assert "Take it away: it is received anew." in east.journal.elsewhere.conflicts()[0].said
        assert "is damaged" in Desk(east.journal.everywhere).recall("E-oil-1").head[1]


def test_a_delivery_that_was_written_down_wrongly_is_right_everywhere(pair):
    east, west = pair
    (received,) = west.journal.of_kinds([ev.LotReceived])
    for field, value in (("quantity", "900"), ("expires", "2026-12-31")):
        Workshop(west.journal).correct(ev.WORKSHOP, received.n, field, value, "misread", "Mara Lind")
    exchanged(east, west)
    for bench in pair:
        lot = Workshop(bench.journal).lots().lots["W-water-1"]
        assert (lot.left, lot.expires) == (900.0, "2026-12-31")


def test_two_windows_of_one_bench_know_the_same(pair):
    """Each gathers into one file; what one has gathered the other has not to."""
    east, west = pair
    again = Together(east.journal, east.others, bench_of(east.journal))
    assert again.lots({})["E-oil-1"].left == 1000.0
    for n in range(1, 4):
        made(west.journal, f"20261128-lotion-W-{n}", {"sunflower-oil": ("E-oil-1", 100.0)})
        made(east.journal, f"20261128-lotion-E-{n}", {"sunflower-oil": ("E-oil-1", 1.0)})
        exchanged(east, west)
        threads = [
            threading.Thread(target=one.look) for one in (again, east.journal.elsewhere) for _ in range(2)
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(30)
        for one in (again, east.journal.elsewhere):
            assert one.lots({})["E-oil-1"].left == 1000.0 - 101.0 * n
            assert one.conflicts() == ()


def test_a_whole_batch_is_drawn_again_when_it_goes_on(pair):
    """What came in an earlier part of it is not counted twice, and what is taken back is not counted."""
    east, west = pair
    west.journal.append("w-1", [started("w-1"), in_hand("E-oil-1"), weight("E-oil-1", 100.0)])
    exchanged(east, west)
    assert left(east, "E-oil-1") == 900.0
    west.journal.append("w-1", [weight("E-oil-1", 50.0), filled(1), FINISHED])
    exchanged(east, west)
    assert left(east, "E-oil-1") == 850.0


def test_a_make_never_waits_for_what_is_being_worked_out(pair):
    """It goes by what was known before; whether a batch may leave is not asked in a hurry."""
    east, west = pair
    assert left(east, "W-water-1") == 1000.0
    made(west.journal, "20261128-lotion-W-1", {"purified-water": ("W-water-1", 100.0)})
    exchanged(east, west)
    together = east.journal.elsewhere
    answers = []
    with together._busy:
        assert left(east, "W-water-1") == 1000.0
        asked = threading.Thread(target=lambda: answers.append(together.against(BATCH, frozenset())))
        asked.start()
        asked.join(0.2)
        assert answers == [], "it waits"
    asked.join(30)
    assert answers == [()]
    assert left(east, "W-water-1") == 900.0


def test_a_long_history_is_worked_out_bit_by_bit_and_a_make_begins_meanwhile(pair, lotion, monkeypatch):
    """Nothing leaves until it is known what the others say, and nothing is said to be known that was not looked at."""
    east, west = pair
    for n in range(1, 4):
        made(west.journal, f"20261128-lotion-W-{n}", {"sunflower-oil": ("E-oil-1", 100.0)})
    exchanged(west, east)
    monkeypatch.setattr("benchapp.replication.together.PATIENCE_S", 0.0)
    monkeypatch.setattr("benchapp.replication.gathering.SMALL_PART", 2)
    east.others.forget()  # as on a tablet that has just received it all
    east.sync()
    together = Together(east.journal, east.others, bench_of(east.journal))
    east.journal.elsewhere, east.journal.all_chains = together, together.everywhere
    together.bit_by_bit()
    sealed = len(east.journal.of_kinds([ev.HeadsReceived]))
    assert together.look(), "more waits"
    begun_rehearsal(east.journal, lotion).close()
    (said,) = together.against("20261128-lotion-E-1", frozenset())
    assert Conflict(said) in together.conflicts()
    assert said.startswith("What the other benches wrote is here and not all worked out yet")
    assert east.journal.everywhere is east.journal, "the desk answers as alone"
    together.seal()
    assert len(east.journal.of_kinds([ev.HeadsReceived])) == sealed
    looks = 0
    while together.look():
        looks += 1
    assert looks > 5
    assert together.conflicts() == together.against("20261128-lotion-E-1", frozenset()) == ()
    assert left(east, "E-oil-1") == 700.0
    together.close()


def test_a_bench_that_joins_does_not_wait_for_a_long_history(benches):
    """One part of it comes, and the rest while the program runs."""
    west, east = benches("west"), benches("east")
    west.note(*(f"w{n}" for n in range(2 * PART)))
    west.sync()
    contact = exchange_once(east.journal, east.others, east.address, patience_s=0.0)
    assert (east.everything(), contact.as_of) == (PART, "")
    assert len(east.journal.of_kinds([ev.HeadsReceived])) == 0
    assert exchange_once(east.journal, east.others, east.address).as_of == east.wall()
    assert east.everything() > 2 * PART
