"""Lots and batches that two benches called alike before they joined: whatever is asked, on either bench, is answered of the right one."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from benches import exchanged
from workshop_days import FINISHED, delivery, filled, in_hand, made, started, weight

from benchapp import events as ev
from benchapp.record import deciding
from benchapp.record.documents.as_json import as_json
from benchapp.record.people import Proof
from benchapp.record.tracing import back, forward
from benchapp.record.workshop import Workshop
from benchapp.service.desk import Desk
from benchapp.service.procedure_facts import record_in

BATCH, PREMIX = "20261101-oat-hand-lotion-1", "20261101-rose-premix-1"
OTHER = {"east": "W", "west": "E"}


@pytest.fixture
def two(benches, lotion):
    """Each received an oil and made a premix and a lotion of it, all under the same names."""
    east, west = benches("east", joined=False), benches("west", joined=False)
    for bench, grams, price in ((east, 100.0, 10.0), (west, 200.0, 20.0)):
        oil = delivery("oil-1", supplier=f"of the {bench.folder.name}")
        priced = ev.LotPriced(at_s=0.0, lot="oil-1", price=price, currency="EUR", by="Mara Lind")
        bench.journal.append(ev.WORKSHOP, [oil, priced])
        made(bench.journal, PREMIX, {"sunflower-oil": ("oil-1", grams)}, containers=0)
        bench.journal.append(
            ev.WORKSHOP, [delivery(f"pre-{bench.folder.name}", "rose-premix", 290.0, made_in=PREMIX)]
        )
        begun = replace(started(BATCH), procedure_text=lotion.text, procedure=lotion.key)
        drawn = [in_hand("oil-1"), weight("oil-1", grams)]
        bench.journal.append(BATCH, [begun, *drawn, filled(1), FINISHED])
        bench.join()
        bench.know()
    exchanged(east, west)
    return east, west


def shop(bench):
    return Workshop(bench.journal.everywhere)


def test_a_record_and_a_cost_have_the_lots_of_the_bench_that_made_it(two):
    for here, there in (two, reversed(two)):
        own, everywhere = here.journal, there.journal.everywhere
        batch = f"{OTHER[there.folder.name]}-{BATCH}"
        (mine,), (read,) = (
            json.loads(as_json(record_in(journal, name)))["lots"]
            for journal, name in ((own, BATCH), (everywhere, batch))
        )
        assert mine["supplier"] == read["supplier"] == f"of the {here.folder.name}"
        assert read["lot"] == f"{OTHER[there.folder.name]}-oil-1"
        costs = [row[2:] for row in Desk(everywhere).cost(batch).rows]
        assert costs == [row[2:] for row in Desk(own).cost(BATCH).rows]
        assert Desk(here.journal.everywhere).cost(BATCH).rows == Desk(own).cost(BATCH).rows


def test_a_premix_is_traced_to_its_own_batch(two):
    east, west = two
    made(east.journal, "20261128-lotion-E-1", {"rose-premix": ("pre-west", 50.0)})
    exchanged(*two)
    journal = east.journal.everywhere
    drawn = {x.use.lot for x in back(journal, "20261128-lotion-E-1").inputs}
    assert drawn == {"pre-west", "W-oil-1"}
    assert "20261128-lotion-E-1" in {r.batch.batch for r in forward(journal, "W-oil-1").reached}
    assert "20261128-lotion-E-1" not in {r.batch.batch for r in forward(journal, "oil-1").reached}
    assert "20261128-lotion-E-1" in {r.batch.batch for r in forward(west.journal.everywhere, "oil-1").reached}


def test_what_was_signed_at_once_is_said_of_the_right_batch_and_settled_by_who_decides_about_that(two):
    east, west = two
    for who in ("Mara Lind", "Jo Tern"):
        enrolled = ev.PersonEnrolled(at_s=0.0, who=who, roles=("releaser",), pin="", by="Mara Lind")
        shop(east).add(enrolled)
    exchanged(*two)
    release(east, "Jo Tern")
    shop(west).add(ev.PersonRetired(at_s=0.0, who="Jo Tern", by="Mara Lind", reason="left"))
    exchanged(*two)
    release(west, "Mara Lind")  # of its own batch, which is called alike
    exchanged(*two)
    assert f"Jo Tern signed in {BATCH}" in said(east)
    assert f"Jo Tern signed in E-{BATCH}" in said(west)
    release(east, "Mara Lind")
    exchanged(*two)
    assert "Jo Tern signed" not in said(east) + said(west)


def release(bench, who):
    deciding.decide(shop(bench), BATCH, "released", "seen", Proof(who, ("releaser",), bench.wall()))


def said(bench):
    return " ".join(one.said for one in bench.journal.elsewhere.conflicts())
