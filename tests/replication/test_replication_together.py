"""What the desk and a make know of the other benches: their lots with what is left of them, what they blocked, who may sign, and
why a batch may not leave."""

from __future__ import annotations

import pytest
from acting import begun_rehearsal
from benches import BATCH, add, against, exchanged, judge, left
from workshop_days import in_hand, made

from benchapp import events as ev
from benchapp.make.inputs import Resume
from benchapp.record import deciding, leaving, stock
from benchapp.record.errors import NotAllowed
from benchapp.record.workshop import Workshop
from benchapp.replication.server import Server
from benchapp.replication.server_connection import connected
from benchapp.service.bench_service import BenchService
from benchapp.service.desk import Desk
from benchapp.service.lots import lots_on_hand
from benchapp.service.makes import interrupted_by
from benchapp.service.several_benches import workshop_status


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
    stock.about_lot(Workshop(west.journal), count)
    exchanged(east, west)
    assert left(east, "E-oil-1") == left(west, "E-oil-1") == 500.0, "the count knew of everything"


def test_an_empty_lot_of_another_bench_can_be_counted(pair):
    east, west = pair
    made(east.journal, "20261128-lotion-E-1", {"sunflower-oil": ("E-oil-1", 1000.0)})
    exchanged(east, west)
    assert "E-oil-1" not in Workshop(west.journal).lots().lots, "what is empty is not offered"
    count = ev.LotCounted(at_s=0.0, lot="E-oil-1", quantity=20.0, reason="there is some", by="Mara Lind")
    stock.about_lot(Workshop(west.journal), count)
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


def test_release_is_refused_while_who_contributed_is_known_to_be_behind(pair, workshop):
    east, west = pair
    made(east.journal, BATCH, {"purified-water": ("W-water-1", 300.0)})
    assert against(east) == ()
    with connected(west.address) as c:
        Server(c).announce(len(west.own()) + 7)
    east.sync()
    assert against(east) == (f"7 events of the bench {workshop.role('west')} are not here yet.",)
    assert against(east)[0] in deciding.against(Workshop(east.journal), BATCH, "released", "Mara Lind")
    assert against(east)[0] not in deciding.against(Workshop(east.journal), BATCH, "rejected", "Mara Lind")
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
        leaving.dispatch(Workshop(east.journal), BATCH, sent)


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
