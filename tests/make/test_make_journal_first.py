"""On disk before the prompt moves: what cannot be written has not happened."""

from __future__ import annotations

from bench_by_hand import Bench

from benchapp import events as ev
from benchapp.events import DeviceFacts
from benchapp.make.inputs import Grams, Press
from benchapp.record.errors import JournalUnavailable
from benchapp.runtime.session_start import BatchOrder, begin


def test_a_press_that_cannot_be_written_changes_nothing(journal, lotion, mocker):
    """A full disk, played by the journal itself: nobody can fill one here in a test."""
    scale = DeviceFacts("big", "scale", ("mass",), 0.1, 3000.0)
    session = begin(journal, BatchOrder(lotion, 500.0, [scale], "Mara Lind", "b1"), lambda: 10.0)
    before = session.view()
    full = mocker.patch.object(
        journal, "append", side_effect=JournalUnavailable("The disk is full; make room.")
    )
    session.put(Press(session.clock(), before.prompt, "understood"))
    stopped = session.view()
    assert (stopped.prompt, stopped.trouble.text) == (before.prompt, "The disk is full; make room.")
    mocker.stop(full)
    session.put(Press(session.clock(), before.prompt, "understood"))
    assert session.view().prompt != before.prompt


def test_what_is_done_is_not_done_again_while_what_follows_cannot_be_written():
    """The weight is on the disk, the disk is full, and the next act could not begin: the scale still shows the same."""
    bench = Bench()
    bench.to("02-weigh")
    bench.stand(0.0)
    bench.place(420.0)
    bench.press("yes")
    bench.stand(420.0, 2.0)
    bench.stand(796.0, 0.0)
    taken = []
    for _ in range(200):
        bench.now = round(bench.now + 0.1, 3)
        events = bench.make.take(Grams(bench.now, "big", 796.0, True, False))
        bench.commit(events)  # and nothing that would follow
        taken += [e for e in events if isinstance(e, ev.WeightTaken)]
    assert len(taken) == 1
    assert next(type(e).__name__ for e in bench.make.follow(bench.now)) == "ActBegan"
