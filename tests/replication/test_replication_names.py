"""What a bench names or numbers by itself: two that are cut off from each other never give one name to two things."""

from __future__ import annotations

import dataclasses

import pytest
from workshop_days import delivery, made

from benchapp import events as ev
from benchapp.events.codec import KINDS
from benchapp.service.bench_service import BenchService
from benchapp.service.desk import Desk
from benchapp.service.open_matters import open_matters

#: Every number and every name in the events by which one thing is told from another of its kind, and why no two benches give one.
TOLD_APART = {
    **dict.fromkeys(
        ("MakeStarted.batch", "LotReceived.lot", "LotReceived.made_in", "ComplaintReceived.number", "ComplaintAnswered.number"),
        "the bench's short name stands in it",
    ),
    **dict.fromkeys(
        ("BurstDone.number", "BurstUnknown.number", "BottleFilled.number", "DeviationNoted.number", "Dispatched.first", "Dispatched.last"),
        "counted in a batch, by the one bench that makes it and sends it",
    ),
    **dict.fromkeys(
        ("DeviationClosed.number", "Corrected.n", "ReceivedHead.seq", "BenchJoined.first"), "names what is there"
    ),
    **dict.fromkeys(
        ("MakeStarted.version", "MasterApproved.version", "MasterWithdrawn.version"),
        "two texts at once are a conflict of what they say: a person approves the next",
    ),
}  # fmt: skip
NUMBERS = {"number", "version", "n", "first", "last", "seq", "made_in"}


def test_every_number_that_is_written_down_is_known_to_be_unlike_another_benchs():
    found = {
        f"{kind.__name__}.{field.name}"
        for kind in (*KINDS.values(), ev.ReceivedHead)
        for field in dataclasses.fields(kind)
        if field.name in NUMBERS
    }
    assert found | {"MakeStarted.batch", "LotReceived.lot"} == TOLD_APART.keys()


@pytest.fixture
def cut_off(benches):
    """East and west, which know one batch, and then nothing of each other."""
    east, west = benches("east"), benches("west")
    made(west.journal, "20261128-lotion-W-1", {})
    for bench in (west, east):
        bench.sync()
        bench.know()
    return east, west


def one_of_each(bench, n):
    """Everything that a bench names by itself: a batch, a lot, a lot of its own premix, a complaint."""
    shop = BenchService(bench.journal, None, "Mara Lind", folder=bench.folder)
    batch = shop.rehearse("oat-hand-lotion", 500.0).session.batch
    shop.end()
    desk = Desk(bench.journal.everywhere)
    desk.receive(delivery(f"oil-{n}"), "Mara Lind", "")
    desk.receive(delivery(f"pre-{n}", "rose-premix", made_in=batch), "Mara Lind", "")
    desk.complain("20261128-lotion-W-1", complaint(f"It smells of rope, says {batch}."), "")


def complaint(words):
    """Somebody wrote."""
    return ev.ComplaintReceived(
        at_s=0.0, number=0, container=0, words=words, effect=False, serious=False, sender="Pier Shop", on="", by="Mara Lind"
    )  # fmt: skip


def answered(number, bench):
    """What was found."""
    return ev.ComplaintAnswered(
        at_s=0.0, number=number, found="Its lid was off.", done="Replaced.", by="Mara Lind", bench=bench
    )


def test_what_two_benches_name_while_they_are_cut_off_is_told_apart_when_they_meet(cut_off):
    east, west = cut_off
    for bench in cut_off:
        one_of_each(bench, 1)
        one_of_each(bench, 2)
    for bench in (east, west, east):
        bench.sync()
    for bench in cut_off:
        journal = bench.journal.everywhere
        desk = Desk(journal)
        rehearsed = [b.batch[9:] for b in journal.batches() if b.rehearsal]
        assert sorted(rehearsed) == [f"oat-hand-lotion-{s}-{n}" for s in "EW" for n in (1, 2)]
        assert {name: lot.left for name, lot in desk.records.lots().lots.items()} == {
            f"{s}-{lot}": 1000.0 for s in "EW" for lot in ("oil-1", "oil-2", "pre-1", "pre-2")
        }
        assert sorted(c.name for c in desk.complaints()) == ["E-1", "E-2", "W-1", "W-2"]
        assert bench.journal.elsewhere.conflicts() == ()


def test_an_answer_is_to_one_complaint_whoever_gives_it(cut_off):
    east, west = cut_off
    for bench in cut_off:
        Desk(bench.journal.everywhere).complain("20261128-lotion-W-1", complaint(bench.folder.name), "")
    for bench in (east, west, east):
        bench.sync()
    said = Desk(east.journal.everywhere).answer_complaint("20261128-lotion-W-1", answered(1, "W"), "")
    assert said == "Complaint W-1 of 20261128-lotion-W-1 is answered."
    east.sync()
    west.sync()
    for bench in cut_off:
        desk = Desk(bench.journal.everywhere)
        assert [
            (c.received.words, c.answer is not None) for c in sorted(desk.complaints(), key=lambda c: c.name)
        ] == [
            ("east", False),
            ("west", True),
        ]
        assert [(x.batch, x.said) for x in open_matters(desk) if not x.more] == [
            ("20261128-lotion-W-1", "complaint E-1, not answered")
        ]
        assert [k["bench"] for k in desk.record("20261128-lotion-W-1").complaint_answers] == ["W"]
