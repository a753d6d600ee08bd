"""What came before the benches joined, from a newer program, damaged, or in great length: it is known as far as it can be, and holds up nothing."""

from __future__ import annotations

import json
import threading
from dataclasses import make_dataclass

import pytest
from acting import begun_rehearsal
from benches import BATCH, against, exchanged, judge, left
from workshop_days import FINISHED, correction, delivery, filled, in_hand, made, started, weight

from benchapp import events as ev
from benchapp.record import correcting, stock
from benchapp.record.chain import link
from benchapp.record.elsewhere import Conflict, Elsewhere
from benchapp.record.errors import NotAllowed
from benchapp.record.workshop import Workshop
from benchapp.replication.chain_row import ChainHead, ChainRow
from benchapp.replication.replicator import exchange_once
from benchapp.replication.seals import bench_of, compare
from benchapp.replication.server import PART, Server
from benchapp.replication.server_connection import connected
from benchapp.replication.together import Together
from benchapp.service.desk import Desk
from benchapp.service.lots import lots_on_hand
from benchapp.service.several_benches import knowing_others


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
    stock.receive(Workshop(east.journal), delivery("E-oil-1"))
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
    east.journal.elsewhere = Elsewhere()
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
        correcting.correct(
            Workshop(west.journal), ev.WORKSHOP, correction(received.n, field, value, "misread", "Mara Lind")
        )
    shop = Workshop(west.journal)
    stock.about_lot(shop, ev.LotOpened(at_s=0.0, lot="W-water-1", on="2026-11-05"))
    correcting.correct(
        shop,
        ev.WORKSHOP,
        correction(west.journal.last(ev.WORKSHOP).n, "on", "2026-11-04", "misread", "Mara Lind"),
    )
    exchanged(east, west)
    for bench in pair:
        lot = Workshop(bench.journal).lots().lots["W-water-1"]
        assert (lot.left, lot.expires, lot.opened) == (900.0, "2026-12-31", "2026-11-04")


def test_a_bench_corrects_what_it_wrote_itself_whatever_others_wrote_under_that_number(pair):
    east, west = pair
    mine, theirs = (bench.journal.of_kinds([ev.LotReceived])[0] for bench in pair)
    assert mine.n == theirs.n
    correcting.correct(Workshop(west.journal), ev.WORKSHOP, correction(theirs.n, "expires", "2026-12-31"))
    exchanged(east, west)
    desk = Workshop(east.journal.everywhere)
    old = correcting.correct(desk, ev.WORKSHOP, correction(mine.n, "expires", "2027-03-01")).old
    assert old == mine.event.expires


def test_what_another_bench_received_is_corrected_there_alone(pair):
    """Its number here is that of no event there: a correction of it would count nowhere."""
    _, west = pair
    desk = Workshop(west.journal.everywhere)
    theirs = next(
        s.n for s in desk.journal.of_kinds([ev.LotReceived], ev.WORKSHOP) if s.event.lot == "E-oil-1"
    )
    with pytest.raises(NotAllowed, match=f"Event {theirs} was written on another bench: do that there."):
        correcting.correct(desk, ev.WORKSHOP, correction(theirs, "quantity", "500"))


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
