"""The indexes against a plain sum kept beside them, and against a rebuild, for days no planner would think of."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from workshop_days import delivery, in_hand, sent, started, weight

from benchapp import events as ev
from benchapp.record.journal import Journal
from benchapp.record.verifying import verify
from benchapp.record.workshop import Workshop

LOTS, BATCHES = ("oil-1", "oil-2"), ("b-1", "b-2", "r-1")  # r-1 is a rehearsal
grams = st.integers(1, 400).map(lambda n: n / 4)
steps = st.one_of(
    st.tuples(st.just("weigh"), st.sampled_from(BATCHES), st.sampled_from(LOTS), grams),
    st.tuples(st.just("state and take back"), st.sampled_from(BATCHES), st.sampled_from(LOTS), grams),
    st.tuples(st.just("waste"), st.sampled_from(BATCHES), st.sampled_from(LOTS), grams),
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
        shop.correct(batch, draws[0][1], field, new, "misread", "Mara")
        draws[0][2 if what == "other lot" else 3] = lot if what == "other lot" else amount


@settings(max_examples=25, deadline=None)
@given(st.lists(steps, max_size=10))
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
        assert verify(journal).indexes == ()
        assert all(verify(journal, batch).indexes == () for batch in BATCHES)
        journal.close()
