"""The indexes against a plain sum kept beside them, and against a rebuild, for days no planner would think of."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine, event, select
from workshop_days import correction, delivery, in_hand, sent, started, weight

from benchapp import events as ev
from benchapp.record import correcting
from benchapp.record.drawing_up import record_of
from benchapp.record.journal import Journal, _ends_of
from benchapp.record.tables import USE
from benchapp.record.verifying import verify
from benchapp.record.workshop import Workshop

LOTS, BATCHES = ("oil-1", "oil-2"), ("b-1", "b-2", "r-1")  # r-1 is a rehearsal
grams = st.integers(1, 400).map(lambda n: n / 4)
steps = st.one_of(
    st.tuples(st.just("weigh"), st.sampled_from(BATCHES), st.sampled_from(LOTS), grams),
    st.tuples(st.just("state and take back"), st.sampled_from(BATCHES), st.sampled_from(LOTS), grams),
    st.tuples(st.just("waste"), st.sampled_from(BATCHES), st.sampled_from(LOTS), grams),
    st.tuples(st.just("spill"), st.sampled_from(BATCHES), st.sampled_from(LOTS), grams),
    st.tuples(st.just("late drop"), st.sampled_from(BATCHES), st.sampled_from(LOTS), grams),
    st.tuples(st.just("other late drop"), st.sampled_from(BATCHES[:2]), st.just(""), grams),
    st.tuples(st.just("count"), st.just(""), st.sampled_from(LOTS), grams),
    st.tuples(st.just("other lot"), st.sampled_from(BATCHES[:2]), st.sampled_from(LOTS), grams),
    st.tuples(st.just("other weight"), st.sampled_from(BATCHES[:2]), st.sampled_from(LOTS), grams),
    st.tuples(st.just("send"), st.sampled_from(BATCHES), st.just(""), grams),
)


class Sum:
    """What has to be left, from a list of draws that knows where each stands."""

    def __init__(self):
        self.draws = []  # [batch, n, lot, grams, place]
        self.counted = {lot: (0, 1000.0) for lot in LOTS}  # place, grams

    def left(self, lot):
        place, base = self.counted[lot]
        return base - sum(g for _, _, drawn, g, at in self.draws if drawn == lot and at > place)


def spilled(grams, line="sunflower-oil"):
    return ev.MassLost(
        at_s=0.0, step="02-weigh", vessel="pot", device="big", lost_g=grams, lines=((line, grams),), pouring=line,
        how="only", gross_g=0.0,
    )  # fmt: skip


def late_drop(grams):
    return ev.LateDropFound(
        at_s=0.0, step="02-weigh", line="sunflower-oil", vessel="pot", device="big", drop_g=grams
    )


def weighings(journal, batch):
    return [s for s in journal.stored(batch) if isinstance(s.event, ev.WeightTaken)]


def live(journal, batch, tally):
    """The batch's weighings that still count."""
    return [d for d in tally.draws if d[0] == batch and any(s.n == d[1] for s in weighings(journal, batch))]


def do(journal, shop, tally, what, batch, lot, amount):
    if what == "weigh":
        journal.append(batch, [in_hand(lot), weight(lot, amount)])
        last = journal.last(batch)
        tally.draws.append([batch, last.n, lot, amount, last.seq])
    elif what == "state and take back":
        began = ev.ActBegan(at_s=0.0, step="02-weigh", act="pour")
        back = ev.ActTakenBack(at_s=0.0, step="02-weigh", act="pour")
        journal.append(batch, [began, in_hand(lot), weight(lot, amount, source=ev.Source.STATED), back])
    elif what == "waste":
        waste = ev.MaterialRemoved(
            at_s=0.0, step="02-weigh", line="sunflower-oil", vessel="pot", removed_g=amount
        )
        journal.append(batch, [in_hand(lot), waste])
        last = journal.last(batch)
        tally.draws.append([batch, last.n, lot, amount, last.seq])
    elif what == "spill":
        journal.append(batch, [in_hand(lot), spilled(amount)])
        last = journal.last(batch)
        tally.draws.append([batch, last.n, lot, amount, last.seq])
    elif what == "late drop":
        journal.append(batch, [in_hand(lot), late_drop(amount)])
        last = journal.last(batch)
        tally.draws.append([batch, last.n, lot, amount, last.seq])
    elif what == "other late drop":
        fallen = [s.n for s in journal.stored(batch) if isinstance(s.event, ev.LateDropFound)]
        if fallen:
            correcting.correct(shop, batch, correction(fallen[0], "drop_g", str(amount), "misread", "Mara"))
            next(d for d in tally.draws if d[:2] == [batch, fallen[0]])[3] = amount
    elif what == "count":
        shop.add(ev.LotCounted(at_s=0.0, lot=lot, quantity=amount, reason="", by=""))
        tally.counted[lot] = (journal.last(ev.WORKSHOP).seq, amount)
    elif what == "send":
        journal.append(batch, [sent(1, 1)])
    else:
        draws = live(journal, batch, tally)
        if not draws:
            return
        field, new = ("lot", lot) if what == "other lot" else ("net_g", str(amount))
        correcting.correct(shop, batch, correction(draws[0][1], field, new, "misread", "Mara"))
        draws[0][2 if what == "other lot" else 3] = lot if what == "other lot" else amount


@settings(max_examples=25, deadline=None)
@given(st.lists(steps, max_size=12))
def test_stock_is_the_last_count_less_every_draw_since_as_corrected(days):
    with tempfile.TemporaryDirectory() as folder:
        journal = Journal(Path(folder), lambda: "2026-03-01T09:00:00+01:00")
        shop, tally = Workshop(journal), Sum()
        shop.add(*(delivery(lot) for lot in LOTS))
        for batch in BATCHES:
            journal.append(batch, [started(batch, rehearsal=batch == "r-1")])
        for step in days:
            do(journal, shop, tally, *step)
        tally.draws = [d for d in tally.draws if d[0] != "r-1"]
        assert {lot: shop.lots().lots[lot].left for lot in LOTS} == {lot: tally.left(lot) for lot in LOTS}
        assert [by_the_record(journal, b) for b in BATCHES[:2]] == [
            by_the_book(journal, b) for b in BATCHES[:2]
        ]
        assert verify(journal).indexes == ()
        assert all(verify(journal, batch).indexes == () for batch in BATCHES)
        journal.close()


def by_the_record(journal, batch):
    """Grams out of each lot, as the batch's own record has them."""
    return {x["lot"]: x["drawn_g"] for x in record_of(journal.stored(batch)).lots if x["drawn_g"]}


def by_the_book(journal, batch):
    """The same as the book of lots and the trace have them."""
    found = {}
    with journal.reading() as c:
        for row in c.execute(select(USE).where(USE.c.batch == batch)):
            found[row.lot] = round(found.get(row.lot, 0.0) + row.used + row.spoiled, 4)
    return {lot: grams for lot, grams in found.items() if grams}


def test_a_corrected_late_drop_stays_with_the_lot_it_fell_from(journal):
    shop = Workshop(journal)
    shop.add(*(delivery(lot) for lot in LOTS))
    journal.append("b1", [started("b1"), in_hand("oil-1"), weight("oil-1", 50.0), late_drop(2.0)])
    n = journal.last("b1").n
    journal.append("b1", [in_hand("oil-2"), weight("oil-2", 50.0)])
    correcting.correct(shop, "b1", correction(n, "drop_g", "3", "misread", "Mara"))
    assert by_the_book(journal, "b1") == by_the_record(journal, "b1") == {"oil-1": 53.0, "oil-2": 50.0}


def test_a_corrected_spill_leaves_the_lot_as_corrected(journal):
    shop = Workshop(journal)
    shop.add(*(delivery(lot) for lot in LOTS))
    journal.append("b1", [started("b1"), in_hand("oil-1"), spilled(10.0), weight("oil-1", 50.0)])
    n = next(s.n for s in journal.stored("b1") if isinstance(s.event, ev.MassLost))
    correcting.correct(shop, "b1", correction(n, "lost_g", "12", "misread", "Mara"))
    assert by_the_book(journal, "b1") == by_the_record(journal, "b1") == {"oil-1": 62.0}


def statements_of(journal, act):
    """How many statements a database was asked to run while ``act`` did its work."""
    count = 0

    def counted(*_):
        nonlocal count
        count += 1

    event.listen(Engine, "before_cursor_execute", counted)
    try:
        act(journal)
    finally:
        event.remove(Engine, "before_cursor_execute", counted)
    return count


def test_verifying_asks_no_more_of_the_database_for_a_batch_ten_times_as_long(journal, tmp_path):
    counts = []
    for number, draws in ((1, 50), (2, 500)):
        longer = Journal(tmp_path / str(number), journal.wall)
        longer.append(ev.WORKSHOP, [delivery("oil-1", quantity=1e6)])
        events = [x for _ in range(draws) for x in (in_hand("oil-1"), weight("oil-1", 1.0))]
        longer.append("b1", [started("b1"), *events])
        assert verify(longer).sound
        counts.append(statements_of(longer, verify))
        longer.close()
    assert counts[0] == counts[1]


def test_an_event_is_appended_to_a_long_batch_without_reading_it(journal):
    journal.append("b1", [started("b1"), *[weight("", 1.0)] * 300])
    with journal.reading() as c:
        for query in _ends_of("b1"):
            text = str(query.compile(c.engine, compile_kwargs={"literal_binds": True}))
            plan = " ".join(str(row[3]) for row in c.exec_driver_sql(f"EXPLAIN QUERY PLAN {text}"))
            assert "SCAN event" not in plan
            assert "COVERING INDEX event_batch (batch=?" in plan or "event_kind (kind=? AND seq>?)" in plan
