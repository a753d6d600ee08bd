"""A bench that goes on with the chain of a dead one: what it says of what that one wrote counts on every bench."""

from __future__ import annotations

import pytest
from benches import TestBench, add, exchanged, left
from workshop_days import FINISHED, correction, delivery, filled, made, started, weight

from benchapp import events as ev
from benchapp.record import correcting, stock
from benchapp.record.masters import current, versions_in
from benchapp.record.tracing import back, forward
from benchapp.record.workshop import Workshop
from benchapp.replication import server
from benchapp.replication.exchange import Exchange
from benchapp.replication.server import Server
from benchapp.replication.server_connection import connected
from benchapp.service.several_benches import _others_heard

BATCH, OTHER_BATCH = "20261128-lotion-E-1", "20261128-lotion-W-1"


@pytest.fixture
def heir_of(benches, workshop):
    """Makes the bench that replaces a dead one; its name is that one's with a 2."""

    def heir(dead, short="F"):
        name = dead.folder.name
        dead.close()
        add(workshop, f"{name}2", short, replaces=name)
        found = benches(f"{name}2")
        found.sync()
        found.know()
        return found

    return heir


def shop(bench):
    return Workshop(bench.journal.everywhere)


def received_as(bench, lot):
    """The number under which a bench wrote down a delivery."""
    return next(s.n for s in bench.journal.of_kinds([ev.LotReceived]) if s.event.lot == lot)


def test_an_heir_corrects_what_the_dead_bench_received(pair, heir_of):
    east, west = pair
    n = received_as(east, "E-oil-1")
    heir = heir_of(east)
    correcting.correct(shop(heir), ev.WORKSHOP, correction(n, "quantity", "500"))
    exchanged(heir, west)
    assert (left(heir, "E-oil-1"), left(west, "E-oil-1")) == (500.0, 500.0)


def test_what_an_heir_says_is_looked_at_once_all_it_goes_on_with_is_here(pair, workshop, benches, heir_of, monkeypatch):  # fmt: skip
    """A bench that joins is asked something while the chains are still coming."""
    east, west = pair
    east.note(*(f"bath {n}" for n in range(6)))
    stock.receive(shop(east), delivery("E-oil-2", "almond-oil"))
    east.journal.append(BATCH, [started(BATCH), weight("E-oil-2", 100.0)])
    n = received_as(east, "E-oil-2")
    exchanged(east, west)
    heir = heir_of(east)
    correcting.correct(shop(heir), ev.WORKSHOP, correction(n, "quantity", "500"))
    heir.journal.append(BATCH, [weight("E-oil-2", 50.0), FINISHED])
    exchanged(heir, west)
    add(workshop, "south", "S")
    south = benches("south")
    south.know()
    monkeypatch.setattr(server, "PART", 5)
    with connected(south.address) as c:
        Exchange(south.journal, south.others, Server(c)).receive()
    assert "E-oil-2" not in shop(south).lots().lots, "not here yet"
    monkeypatch.undo()
    south.sync()
    assert (left(south, "E-oil-2"), left(west, "E-oil-2")) == (350.0, 350.0)
    assert south.journal.everywhere.batches() == west.journal.everywhere.batches()


@pytest.mark.parametrize("name", ["east", "west"])
def test_an_heir_knows_what_came_after_what_the_dead_bench_wrote(pair, heir_of, name):
    dead, other = pair if name == "east" else reversed(pair)
    approved = ev.MasterApproved(
        at_s=0.0, procedure="oat-hand-lotion", version=1, sha256="a", text="a", reason="", by="Mara Lind"
    )
    shop(dead).add(approved)
    exchanged(dead, other)
    gone = ev.MasterWithdrawn(at_s=0.0, procedure="oat-hand-lotion", version=1, reason="thin", by="Mara Lind")
    shop(other).add(gone)
    exchanged(other, dead)
    heir = heir_of(dead)
    exchanged(heir, other)
    kinds = (ev.MasterApproved, ev.MasterWithdrawn)
    for bench in (heir, other):
        found = bench.journal.everywhere.of_kinds(kinds, ev.WORKSHOP)
        assert [s.event for s in found] == [approved, gone]
        assert current(versions_in(bench.journal.everywhere, "oat-hand-lotion")) is None


@pytest.mark.parametrize("woken", [False, True])
def test_an_heir_corrects_what_the_dead_bench_weighed(pair, heir_of, workshop, woken):
    """And it stays corrected when the dead bench wakes up and goes on with that batch under its own name."""
    east, west = pair
    made(east.journal, BATCH, {"sunflower-oil": ("E-oil-1", 300.0)})
    n = next(s.n for s in east.journal.stored(BATCH) if isinstance(s.event, ev.WeightTaken))
    exchanged(east, west)
    heir = heir_of(east)
    correcting.correct(shop(heir), BATCH, correction(n, "net_g", "100"))
    exchanged(heir, west)
    if woken:
        old = TestBench(east.folder, workshop.url("east"))
        old.journal.append(BATCH, [weight("E-oil-1", 1.0)])
        old.sync()
        old.close()
    exchanged(heir, west)
    assert left(heir, "E-oil-1") == left(west, "E-oil-1") == (899.0 if woken else 900.0)


@pytest.mark.parametrize("gone_on", [False, True])
def test_what_a_bench_weighed_that_wakes_up_is_in_every_recall(pair, heir_of, workshop, gone_on):
    """Before it went dark it had begun a batch that its heir has in its journal and may have gone on with."""
    east, west = pair
    stock.receive(shop(west), delivery("W-oil-2", "almond-oil"))
    east.journal.append(BATCH, [started(BATCH), weight("E-oil-1", 300.0)])
    exchanged(east, west)
    east.journal.append(BATCH, [weight("W-oil-2", 10.0), correction(2, "net_g", "200")])
    heir = heir_of(east)
    if gone_on:
        heir.journal.append(BATCH, [weight("W-water-1", 5.0), filled(1), FINISHED])
    exchanged(heir, west)
    old = TestBench(east.folder, workshop.url("east"))
    old.sync()
    old.close()
    exchanged(heir, west)
    for bench in (heir, west):
        journal = bench.journal.everywhere
        drawn = {x.use.lot: x.use.used for x in back(journal, BATCH).inputs}
        assert drawn == {"E-oil-1": 200.0, "W-oil-2": 10.0} | ({"W-water-1": 5.0} if gone_on else {})
        assert [r.batch.batch for r in forward(journal, "W-oil-2").reached] == [BATCH]
        assert [one.batch for one in journal.batches()] == [BATCH]
        assert (left(bench, "W-oil-2"), left(bench, "E-oil-1")) == (990.0, 800.0)


def test_an_heir_goes_on_with_what_the_dead_bench_wrote_of_anothers_batch(pair, heir_of):
    """Their numbers are those of no event of the bench that made it."""
    east, west = pair
    made(west.journal, OTHER_BATCH, {"sunflower-oil": ("E-oil-1", 300.0)})
    exchanged(west, east)
    kept = ev.SampleRetained(at_s=0.0, pieces=1, where="east", until="2099-01-01", by="Mara Lind")
    shop(east).add_to(OTHER_BATCH, kept)
    exchanged(east, west)
    heir = heir_of(east)
    for _ in range(3):
        shop(heir).add_to(OTHER_BATCH, kept)
    exchanged(heir, west)
    for bench in (heir, west):
        found = bench.journal.everywhere.stored(OTHER_BATCH)
        assert len({s.n for s in found}) == len(found) == len(west.journal.stored(OTHER_BATCH)) + 4
        assert bench.journal.everywhere.started(OTHER_BATCH) is not None


def test_what_a_dead_bench_had_and_never_sent_keeps_no_batch_here(pair, heir_of):
    """It had said that it has more, and nobody will ever see that; its heir has all that was sent in its own journal."""
    east, west = pair
    with connected(east.address) as c:
        Server(c).announce(10_000)
    west.sync()
    made(west.journal, OTHER_BATCH, {"sunflower-oil": ("E-oil-1", 300.0)})
    assert "events of the bench" in " ".join(shop(west).against_elsewhere(OTHER_BATCH))
    heir = heir_of(east)
    made(heir.journal, BATCH, {"sunflower-oil": ("E-oil-1", 300.0)})
    exchanged(heir, west)
    assert shop(west).against_elsewhere(OTHER_BATCH) == ()
    assert shop(heir).against_elsewhere(BATCH) == ()
    for bench in (heir, west):
        said = " ".join(_others_heard(bench.journal, bench.folder))
        assert "to come" not in said
        assert "0 events are here" not in said
