"""The desk over all chains: tracing, recall, decisions and masters, with one answer whichever bench asks."""

from __future__ import annotations

import hashlib

import pytest
from benches import add, exchanged
from workshop_days import FINISHED, correction, delivery, filled, made, sent, started, weight

from benchapp import events as ev
from benchapp.record import correcting, deciding, leaving, stock
from benchapp.record.elsewhere import Conflict
from benchapp.record.errors import NoSuchBatch, NotAllowed
from benchapp.record.masters import current, version_of, versions_in
from benchapp.record.people import Proof
from benchapp.record.pins import hashed
from benchapp.record.summary_afterwards import verdict
from benchapp.record.workshop import Workshop
from benchapp.replication.exchange import Exchange
from benchapp.replication.server import Server
from benchapp.replication.server_connection import connected
from benchapp.service.bench_service import BenchService
from benchapp.service.desk import Desk
from benchapp.service.errors import CommandError
from benchapp.service.procedure_facts import record_in
from procedures.reading import read_text

BATCH = "20261128-lotion-W-1"


@pytest.fixture
def three(benches, workshop):
    """East, west, and an office that makes nothing; one releaser."""
    add(workshop, "office", "O")
    found = [benches(name) for name in ("east", "west", "office")]
    kept = hashed("4711", lambda n: b"0123456789abcdef"[:n])
    enrolled = ev.PersonEnrolled(
        at_s=0.0, who="Mara Lind", roles=("releaser", "maker"), pin=kept, by="Mara Lind"
    )
    Workshop(found[2].journal).add(enrolled)
    for bench in found:
        bench.know()
    exchanged(*found)
    return found


@pytest.fixture
def a_batch_in_the_west(three):
    """Made of a lot that was received in the east, four containers."""
    east, west, _ = three
    stock.receive(Workshop(east.journal), delivery("E-oil-1"))
    exchanged(*three)
    made(west.journal, BATCH, {"sunflower-oil": ("E-oil-1", 300.0)})
    exchanged(*three)
    return three


def shop(bench):
    """The records as the desk of a bench asks them."""
    return Workshop(bench.journal.everywhere)


def decide(bench, decision, batch=BATCH, reason="seen"):
    return deciding.decide(
        shop(bench), batch, decision, reason, Proof("Mara Lind", ("releaser",), bench.wall())
    )


def answers(bench):
    """What each bench has to say the same of."""
    desk = Desk(bench.journal.everywhere)
    return (
        desk.trace("E-oil-1"),
        desk.trace(f"{BATCH}/2"),
        desk.recall("E-oil-1").rows,
        [b for b in desk.journal.batches()],
        desk.journal.waiting(),
        shop(bench).standing(BATCH).decisions,
        {p.who: (p.roles, p.retired) for p in desk.records.people().known.values()},
    )


def test_a_lot_is_traced_and_recalled_over_all_benches(a_batch_in_the_west):
    east, west, office = a_batch_in_the_west
    decide(office, "released")
    exchanged(east, west, office)
    leaving.dispatch(shop(west), BATCH, sent(1, 2))
    exchanged(east, west, office)
    found = Desk(office.journal.everywhere).recall("E-oil-1")
    assert found.rows == (("Pier Shop", BATCH, "1–2", "2", "2026-03-04", "N-7"),)
    assert f"{BATCH} (released): containers 3–4 are still here. Put them aside." in found.notes
    assert Desk(office.journal.everywhere).trace(BATCH).rows[0][:2] == (
        "sunflower oil",
        "300.0 g of lot E-oil-1",
    )
    assert answers(east) == answers(west) == answers(office)


def test_a_batch_is_decided_where_it_was_not_made(a_batch_in_the_west):
    east, west, office = a_batch_in_the_west
    assert [b.batch for b in office.journal.everywhere.waiting()] == [BATCH]
    assert office.journal.waiting() == [], "it is in no index of its own"
    decide(office, "released")
    assert office.journal.everywhere.waiting() == []
    exchanged(east, west, office)
    for bench in (east, west, office):
        assert bench.journal.everywhere.batch(BATCH).decision == "released"
        assert bench.journal.everywhere.waiting() == []
        assert shop(bench).standing(BATCH).decision == "released"
        record = bench.journal.everywhere.by_kind(BATCH)
        assert isinstance(record.first.event, ev.MakeStarted)
        assert [e.decision for e in record.events(ev.BatchDecided)] == ["released"]
    with pytest.raises(NotAllowed, match="It is released already"):
        decide(east, "released")
    decide(east, "rejected", reason="a jar came back")
    exchanged(east, west, office)
    assert west.journal.everywhere.batch(BATCH).decision == "rejected"
    assert west.journal.elsewhere.conflicts() == (), "east knew of the release"
    assert answers(east) == answers(west) == answers(office)


def test_what_needs_the_batch_at_hand_is_done_where_it_stands(a_batch_in_the_west):
    east, west, office = a_batch_in_the_west
    decide(office, "released")
    exchanged(east, west, office)
    with pytest.raises(NotAllowed, match="was made on another bench: do that there"):
        leaving.dispatch(shop(office), BATCH, sent(1, 2))
    leaving.dispatch(shop(west), BATCH, sent(1, 2))
    with pytest.raises(NotAllowed, match="was made on another bench"):
        correcting.correct(shop(east), BATCH, correction(3, "net_g", "310", "misread", "Mara Lind"))


def test_two_decisions_at_once_are_one_answer_on_all(a_batch_in_the_west):
    east, west, office = a_batch_in_the_west
    decide(office, "released")
    decide(east, "rejected")
    exchanged(east, west, office)
    for bench in (east, west, office):
        assert bench.journal.everywhere.batch(BATCH).decision == "rejected"
        assert shop(bench).standing(BATCH).decision == "rejected"
        assert "decided otherwise about" in " ".join(x.said for x in bench.journal.elsewhere.conflicts())
    with pytest.raises(NotAllowed, match="is not released"):
        leaving.dispatch(shop(west), BATCH, sent(1, 2))
    assert answers(east) == answers(west) == answers(office)


def test_a_release_by_somebody_who_was_retired_meanwhile_lets_nothing_go(a_batch_in_the_west, workshop):
    east, west, office = a_batch_in_the_west
    shop(office).add(ev.PersonEnrolled(at_s=0.0, who="Jo Tern", roles=("releaser",), pin="", by="Mara Lind"))
    exchanged(east, west, office)
    deciding.decide(shop(east), BATCH, "released", "", Proof("Jo Tern", ("releaser",), east.wall()))
    shop(office).add(ev.PersonRetired(at_s=0.0, who="Jo Tern", by="Mara Lind", reason="left"))
    assert east.journal.everywhere.batch(BATCH).decision == "released", "as far as it knows"
    exchanged(east, west, office)
    said = (
        f"Jo Tern signed in {BATCH} on {workshop.role('east')} and was retired on {workshop.role('office')}, neither knowing of the other: "
        "a releaser decides about the batch."
    )
    for bench in (east, west, office):
        assert bench.journal.elsewhere.conflicts() == (Conflict(said),)
        assert bench.journal.everywhere.batch(BATCH).decision == ""
        assert [b.batch for b in bench.journal.everywhere.waiting()] == [BATCH], "it waits again"
    with pytest.raises(NotAllowed, match="is not released"):
        leaving.dispatch(shop(west), BATCH, sent(1, 2))
    decide(office, "released")
    exchanged(east, west, office)
    for bench in (east, west, office):
        assert bench.journal.elsewhere.conflicts() == ()
        assert bench.journal.everywhere.batch(BATCH).decision == "released"
    leaving.dispatch(shop(west), BATCH, sent(1, 2))


def checked(passed):
    return ev.CheckRecorded(
        at_s=0.0, check="look", expect="smooth", value=None, words="", passed=passed, by="Mara Lind"
    )


def test_a_check_that_failed_on_one_is_not_passed_by_another_that_did_not_know(a_batch_in_the_west):
    east, west, office = a_batch_in_the_west
    shop(east).add_to(BATCH, checked(False))
    shop(west).add_to(BATCH, checked(True))
    exchanged(east, west, office)
    for bench in (east, west, office):
        assert [e.passed for _, e in shop(bench).standing(BATCH).results] == [True, False]
        assert [row["passed"] for row in record_in(bench.journal.everywhere, BATCH).checks] == [True, False]
    shop(office).add_to(BATCH, checked(True))
    assert [e.passed for _, e in shop(office).standing(BATCH).results] == [True, False, True], "it knew"


def test_a_batch_begins_with_its_make_whatever_another_bench_writes_of_it(three):
    """It was received a minute ago and nothing was sealed since; and the bench that writes comes first by name."""
    east, west, office = three
    west.journal.append(BATCH, [started(BATCH, version=ev.TRIAL), filled(1), FINISHED])
    west.sync()
    with connected(east.address) as c:
        Exchange(east.journal, east.others, Server(c)).receive()
    kept = ev.SampleRetained(at_s=0.0, pieces=1, where="office", until="2099-01-01", by="Mara Lind")
    shop(east).add_to(BATCH, kept)
    exchanged(east, west, office)
    for bench in (east, west, office):
        standing = shop(bench).standing(BATCH)
        assert (standing.maker, standing.trial) == ("Mara Lind", True)


def test_the_record_has_the_decision_that_holds_and_ends_as_its_make_did(a_batch_in_the_west, workshop):
    east, west, office = a_batch_in_the_west
    decide(office, "released")
    exchanged(east, west, office)
    decide(west, "rejected", reason="a jar came back")  # its numbers come before the office's
    exchanged(east, west, office)
    own = len(west.journal.stored(BATCH))
    for bench in (east, west, office):
        record = record_in(bench.journal.everywhere, BATCH)
        assert record.decision == bench.journal.everywhere.batch(BATCH).decision == "rejected"
        assert [row["decision"] for row in record.decisions] == ["released", "rejected"]
        assert (record.events, record.head) == (own, west.journal.stored(BATCH)[-1].hash)


def test_the_record_says_that_a_release_by_somebody_retired_meanwhile_decides_nothing(a_batch_in_the_west):
    east, west, office = a_batch_in_the_west
    shop(office).add(ev.PersonEnrolled(at_s=0.0, who="Jo Tern", roles=("releaser",), pin="", by="Mara Lind"))
    exchanged(east, west, office)
    deciding.decide(shop(west), BATCH, "released", "seen", Proof("Jo Tern", ("releaser",), west.wall()))
    shop(east).add(ev.PersonRetired(at_s=0.0, who="Jo Tern", by="Mara Lind", reason="left"))
    exchanged(east, west, office)
    for bench in (east, west, office):
        record = record_in(bench.journal.everywhere, BATCH)
        assert (record.decision, [row["by"] for row in record.decisions]) == ("not decided", ["Jo Tern"])
        assert "finished, not decided" in verdict(record).text


def test_two_versions_approved_at_once_both_wait_for_the_next(three, workshop):
    east, west, office = three

    def approve(bench, text, version):
        shop(bench).add(
            ev.MasterApproved(
                at_s=0.0,
                procedure="oat-hand-lotion",
                version=version,
                sha256=text * 64,
                text=text,
                reason="",
                by="Mara Lind",
            )
        )

    approve(office, "a", 1)
    exchanged(*three)
    begun = started(BATCH, version=1)
    west.journal.append(BATCH, [begun])
    approve(office, "b", 2)
    approve(east, "c", 2)
    exchanged(*three)
    for bench in three:
        assert current(versions_in(bench.journal.everywhere, "oat-hand-lotion")) is None
        said = " ".join(x.said for x in bench.journal.elsewhere.conflicts())
        assert "at once, in different words: neither counts until the next is approved." in said
        assert (
            f"{BATCH} was made on {workshop.role('west')} by version 1 of oat-hand-lotion while version 2"
            in said
        )
    approve(office, "d", 3)
    exchanged(*three)
    assert current(versions_in(west.journal.everywhere, "oat-hand-lotion")).text == "d"
    assert "at once" not in " ".join(x.said for x in west.journal.elsewhere.conflicts())


def test_of_two_texts_under_one_number_each_can_be_named(three):
    office = three[2]
    for text in ("one", "two"):
        approved = ev.MasterApproved(
            at_s=0.0, procedure="oat-hand-lotion", version=1, sha256=hashlib.sha256(text.encode()).hexdigest(), text=text, reason="",
            by="Mara Lind",
        )  # fmt: skip
        shop(office).add(approved)
    desk = Desk(office.journal.everywhere)
    with pytest.raises(
        CommandError, match=r"in different words on benches.*@7692c3ad3540 or .*@3fc4ccfe7458"
    ):
        desk.compared("oat-hand-lotion@1", "oat-hand-lotion")
    rows = desk.versions("oat-hand-lotion").rows
    assert [desk._text(f"oat-hand-lotion@{row[-1]}") for row in rows] == ["two", "one"]


def test_a_batch_worked_over_for_the_office_is_released_again_on_its_bench(a_batch_in_the_west):
    east, west, office = a_batch_in_the_west
    decide(office, "rework")
    exchanged(east, west, office)
    assert [b.batch for b in west.journal.everywhere.waiting()] == [BATCH], "it waits again"
    decide(west, "released")
    exchanged(east, west, office)
    assert office.journal.everywhere.batch(BATCH).decision == "released"


def test_batches_of_one_name_from_before_are_kept_apart(benches, workshop):
    east, west = benches("east", joined=False), benches("west", joined=False)
    name = "20261101-lotion-1"
    for bench, grams in ((east, 100.0), (west, 200.0)):
        bench.journal.append(ev.WORKSHOP, [delivery("oil-1")])
        made(bench.journal, name, {"sunflower-oil": ("oil-1", grams)})
        bench.join()
        bench.know()
    exchanged(east, west)
    for bench, other in ((east, "W"), (west, "E")):
        journal = bench.journal.everywhere
        assert sorted(b.batch for b in journal.batches()) == [name, f"{other}-{name}"]
        assert len(journal.stored(f"{other}-{name}")) == len(journal.stored(name)) == 8
        rows = Desk(journal).trace(f"{other}-oil-1").rows
        assert [row[0] for row in rows] == [f"{other}-{name}"]
    enrolled = ev.PersonEnrolled(at_s=0.0, who="Mara Lind", roles=("releaser",), pin="", by="Mara Lind")
    Workshop(east.journal).add(enrolled)
    decide(east, "rejected", f"W-{name}")
    exchanged(east, west)
    assert [west.journal.everywhere.batch(b).decision for b in (name, f"E-{name}")] == ["rejected", ""]
    assert [east.journal.everywhere.batch(b).decision for b in (name, f"W-{name}")] == ["", "rejected"]


def test_a_version_approved_in_the_office_is_the_one_on_every_bench(three):
    east, _, office = three

    def approve(bench, text):
        versions = versions_in(bench.journal.everywhere, "oat-hand-lotion")
        approved = ev.MasterApproved(
            at_s=0.0, procedure="oat-hand-lotion", version=len(versions) + 1, sha256=text * 64, text=text,
            reason="thicker", by="Mara Lind",
        )  # fmt: skip
        shop(bench).add(approved)

    approve(office, "a")
    exchanged(*three)
    approve(east, "b")
    exchanged(*three)
    for bench in three:
        versions = versions_in(bench.journal.everywhere, "oat-hand-lotion")
        assert [m.version for m in versions] == [1, 2]
        assert current(versions).text == "b"


def test_a_procedure_approved_in_the_office_arrives_on_the_shelf_of_a_bench(three, lotion):
    """In the place of what is shipped and of an older version here, not of what somebody has written anew here."""
    east, _, office = three
    texts = [lotion.text.replace(lotion.name, name) for name in ("Salt hand lotion", "Reed hand lotion")]
    shops = [BenchService(bench.journal, None, "Mara Lind", folder=bench.folder) for bench in (east, office)]

    def approve(text, key="oat-hand-lotion"):
        procedure = read_text(text, f"{key}.toml").procedure
        Desk(office.journal.everywhere).approve_master(procedure, "thicker", "Mara Lind", "4711")
        exchanged(*three)

    assert shops[0].procedure("oat-hand-lotion").name == lotion.name
    approve(texts[0])
    approve(lotion.text.replace(lotion.name, "Eel grass lotion"), "eel-grass-lotion")
    assert shops[0].procedure("oat-hand-lotion").name == "Salt hand lotion"
    on_the_shelf = {p.key: p.name for p in shops[0].recipes()}
    assert on_the_shelf["eel-grass-lotion"] == "Eel grass lotion"
    assert on_the_shelf["oat-hand-lotion"] == "Salt hand lotion"
    assert Desk(east.journal.everywhere).procedure_named("eel-grass-lotion").name == "Eel grass lotion"
    assert shops[1].procedure("oat-hand-lotion").name == lotion.name, "the office has its own files"
    own = east.folder / "procedures"
    own.mkdir()
    (own / "oat-hand-lotion.toml").write_text(texts[0])
    approve(texts[1])
    assert shops[0].procedure("oat-hand-lotion").name == "Reed hand lotion", "an older version made way"
    (own / "oat-hand-lotion.toml").write_text(lotion.text.replace(lotion.name, "My own"))
    assert shops[0].procedure("oat-hand-lotion").name == "My own"
    assert (
        version_of(east.journal.everywhere, "oat-hand-lotion", read_text(texts[1], "x.toml").procedure.sha256)
        == 2
    )


def test_what_goes_on_after_a_bench_was_replaced_is_one_batch(three, workshop):
    from benches import TestBench

    east, west, office = three
    batch = "20261128-lotion-E-1"
    stock.receive(Workshop(east.journal), delivery("E-oil-1"))
    east.journal.append(batch, [started(batch), weight("E-oil-1", 100.0)])
    exchanged(*three)
    add(workshop, "east2", "F", "east")
    new = TestBench(east.folder.with_name("new"), workshop.url("east2"))
    new.join()
    new.know()
    new.journal.append(batch, [weight("E-oil-1", 50.0), filled(1), FINISHED])
    exchanged(new, west, office)
    for bench in (new, west, office):
        journal = bench.journal.everywhere
        assert [b.end for b in journal.batches()] == ["finished"]
        assert [s.n for s in journal.stored(batch)] == [1, 2, 3, 4, 5]
        assert Desk(journal).trace("E-oil-1").rows[0][1] == "150.0 g as sunflower-oil"
    new.close()


def test_on_a_bench_alone_the_desk_reads_its_own_journal(benches):
    east = benches("east", joined=False)
    assert east.journal.everywhere is east.journal
    made(east.journal, "20261128-lotion-1", {})
    with pytest.raises(NoSuchBatch):
        Desk(east.journal.everywhere).trace("nothing")
