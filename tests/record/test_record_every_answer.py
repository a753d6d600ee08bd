"""One question, every answer: what is left of a lot, what a batch brought out and which containers are here, asked in every way
there is, beside a small ledger of its own; while the clock goes forward, back and into other time zones. Invented for the demo.
"""

from __future__ import annotations

import json
import random
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta, timezone

import pytest
from workshop_days import (
    FINISHED,
    RELEASED,
    Wall,
    correction,
    delivery,
    filled,
    in_hand,
    sent,
    started,
    weight,
)

from benchapp import events as ev
from benchapp.record import correcting, leaving
from benchapp.record.documents.as_json import as_json
from benchapp.record.errors import NotAllowed
from benchapp.record.journal import Journal
from benchapp.record.tracing import back, forward
from benchapp.record.verifying import verify
from benchapp.service.desk import Desk
from benchapp.service.procedure_facts import record_in

LOTS = {"oil-1": 1, "oil-2": 2}  # each with the number of the event that it came in by
ACTS = ("make", "make", "weight", "lot", "count", "quantity", "container", "send", "sent otherwise", "retain")


@dataclass
class Ledger:
    """What really is: of each lot the count it stands at since when, each weighing, each container, each note of dispatch."""

    at: dict[str, tuple[int, float]]
    weighed: list[list] = field(default_factory=list)  # batch, number, lot, grams, place in the journal
    filled: dict[str, dict[int, float]] = field(default_factory=dict)
    sent: dict[str, dict[int, list[int]]] = field(default_factory=dict)

    def left(self, lot):
        since, base = self.at[lot]
        return base - sum(x[3] for x in self.weighed if x[2] == lot and x[4] > since)

    def drawn(self, batch, lot):
        return sum(x[3] for x in self.weighed if x[:1] == [batch] and x[2] == lot)

    def product(self, batch):
        return sum(self.filled[batch].values()) or sum(x[3] for x in self.weighed if x[0] == batch)

    def gone(self, batch):
        return {n for first, last in self.sent[batch].values() for n in range(first, last + 1)}


def make(desk, ledger, chance, lotion):
    batch = f"20260301-oat-hand-lotion-{len(ledger.filled) + 1}"
    drawn = [(chance.choice(list(LOTS)), round(chance.uniform(1, 90), 1)) for _ in range(2)]
    containers = [filled(n) for n in range(1, chance.randrange(1, 6))]
    product_g = 100.0 * len(containers) or sum(g for _, g in drawn)
    begun = replace(started(batch), procedure_text=lotion.text, procedure=lotion.key)
    weighed = [e for lot, g in drawn for e in (in_hand(lot), weight(lot, g))]
    end = replace(FINISHED, product_g=product_g, yield_percent=product_g / 5)
    desk.journal.append(batch, [begun, *weighed, *containers, end, RELEASED])
    stored = desk.journal.stored(batch)
    ledger.filled[batch] = {s.n: s.event.net_g for s in stored if isinstance(s.event, ev.BottleFilled)}
    ledger.sent[batch] = {}
    taken = [s for s in stored if isinstance(s.event, ev.WeightTaken)]
    ledger.weighed += [[batch, s.n, s.event.lot, s.event.net_g, s.seq] for s in taken]


def at_a_lot(desk, ledger, act, chance):
    lot, grams = chance.choice(list(LOTS)), round(chance.uniform(1, 90), 1)
    if act == "count":
        desk.count(lot, (grams, "g"), "stocktaking", "Mara Lind", "")
        ledger.at[lot] = (desk.journal.last(ev.WORKSHOP).seq, grams)
    elif act == "quantity":
        correcting.correct(desk.records, ev.WORKSHOP, correction(LOTS[lot], "quantity", str(grams)))
        since, base = ledger.at[lot]
        ledger.at[lot] = (since, base if since else grams)
    elif ledger.weighed:
        one = chance.choice(ledger.weighed)
        field, new, at = ("lot", lot, 2) if act == "lot" else ("net_g", grams, 3)
        correcting.correct(desk.records, one[0], correction(one[1], field, str(new)))
        one[at] = new


def at_a_batch(desk, ledger, act, chance):
    batch, a = chance.choice(list(ledger.filled)), chance.randrange(1, 6)
    if act == "container" and ledger.filled[batch]:
        n, net_g = chance.choice(list(ledger.filled[batch])), round(chance.uniform(80, 110), 1)
        correcting.correct(desk.records, batch, correction(n, "net_g", str(net_g)))
        ledger.filled[batch][n] = net_g
    elif act == "send":
        leaving.dispatch(desk.records, batch, sent(a, a + 1))
        ledger.sent[batch][desk.journal.last(batch).n] = [a, a + 1]
    elif act == "sent otherwise" and ledger.sent[batch]:
        n, end = chance.choice(list(ledger.sent[batch])), chance.randrange(2)
        correcting.correct(desk.records, batch, correction(n, ("first", "last")[end], str(a)))
        ledger.sent[batch][n][end] = a
    elif act == "retain":
        kept = ev.SampleRetained(at_s=0.0, pieces=1, where="cupboard", until="2099-01-01", by="Mara Lind")
        leaving.retain(desk.records, batch, kept)


def every_answer_about_a_lot(desk, ledger, lot):
    found, page = forward(desk.journal, lot), {x.lot: x.left for x in desk.lots()}
    left = ledger.left(lot)
    assert desk.records.lots().lots[lot].left == found.lot.left == pytest.approx(left)
    assert page.get(lot, left) == pytest.approx(left)
    batches = {b for b in ledger.filled if ledger.drawn(b, lot)}
    used = {r.batch.batch: sum(u.used for u in r.uses) for r in found.reached}
    assert used == pytest.approx({b: ledger.drawn(b, lot) for b in batches})


def every_answer_about_a_batch(desk, ledger, batch):
    record, line, traced = (
        record_in(desk.journal, batch),
        desk.journal.batch(batch),
        back(desk.journal, batch),
    )
    product = ledger.product(batch)
    assert record.product_g == line.product_g == pytest.approx(product)
    assert record.yield_percent == pytest.approx(product / 5, abs=0.006)
    written = {x["lot"]: x["drawn_g"] for x in json.loads(as_json(record))["lots"]}
    assert {k: g for k, g in written.items() if g} == pytest.approx(
        {lot: g for lot in LOTS if (g := ledger.drawn(batch, lot))}
    )
    gone = ledger.gone(batch)
    assert desk.batch(batch).gone == gone
    assert set(traced.here) == set(range(1, len(ledger.filled[batch]) + 1)) - gone
    assert record.balance.dispatched == len(gone)


@pytest.mark.parametrize("seed", range(12))
def test_every_way_of_asking_has_the_same_answer(tmp_path, lotion, seed):
    chance, wall, now = random.Random(seed), Wall(), datetime.fromisoformat("2026-03-01T23:00:00+01:00")
    journal = Journal(tmp_path, wall)
    desk, ledger = Desk(journal), Ledger({lot: (0, 1000.0) for lot in LOTS})
    desk.records.add(*(delivery(lot) for lot in LOTS))
    make(desk, ledger, chance, lotion)
    done = 0
    for act in chance.choices(ACTS, k=20):
        now += timedelta(minutes=chance.choice((1, 30, 600, 1440, -120)))
        zone = timezone(timedelta(hours=chance.choice((1, 2, -5))))
        wall.now = now.astimezone(zone).isoformat(timespec="milliseconds")
        try:
            if act == "make":
                make(desk, ledger, chance, lotion)
            elif act in ("weight", "lot", "count", "quantity"):
                at_a_lot(desk, ledger, act, chance)
            else:
                at_a_batch(desk, ledger, act, chance)
            done += 1
        except NotAllowed:
            continue  # it changed nothing: the ledger, which has nothing of it, says so
    assert done >= 8
    for lot in LOTS:
        every_answer_about_a_lot(desk, ledger, lot)
    for batch in ledger.filled:
        every_answer_about_a_batch(desk, ledger, batch)
    assert verify(journal).indexes == ()
    journal.close()
