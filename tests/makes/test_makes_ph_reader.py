"""What the pH is read with is asked once on a bench that has no meter on a port, kept, and reckoned with."""

from __future__ import annotations

import pytest
from acting import taken_for_real
from walking import walk

from benchapp import events as ev
from benchapp.make.inputs import Press, Skip, TypeValue
from benchapp.record.drawing_up import record_of
from benchapp.rehearsal.run import rehearse
from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from drivers.simulated import DEFAULT_DEVICES, SimulatedBench


@pytest.fixture
def at_the_reading(journal, lotion):
    """A make that counts, every step before the pH left out; ``ph_step`` as an earlier make was told."""
    opened = []

    def begun(ph_step=None, batch="b1"):
        bench = taken_for_real(SimulatedBench(seed=1, devices=DEFAULT_DEVICES))
        facts = [facts_of(d) for d in bench.bench.devices]
        order = BatchOrder(lotion, lotion.default_batch_g, facts, "Mara Lind", batch, ph_step=ph_step)
        opened.append(rehearse(bench, begin(journal, order, lambda: bench.now_s), 1))
        session = opened[-1].session
        while session.view().step_kind != "measure ph":
            session.put(Skip(session.clock(), session.view().prompt, "not part of this test"))
        return opened[-1], walk(opened[-1], lambda m: m.act_view.stage == "read")

    yield begun
    for one in opened:
        one.close()


def put(rehearsal, given, *more):
    session = rehearsal.session
    session.put(given(session.clock(), session.view().prompt, *more))
    return session.view()


def test_it_is_asked_before_the_first_reading_and_no_number_is_taken_until_then(at_the_reading, journal):
    rehearsal, view = at_the_reading()
    assert view.act_view.instruction == "What do you read the pH with?"
    assert [c.word for c in view.act_view.choices] == ["meter", "strip:0.2", "strip:0.5", "strip:1"]
    assert all(c.serious for c in view.act_view.choices), (
        "a question of fact has no answer by Enter, pedal or pan"
    )
    assert view.act_view.ask is None
    put(rehearsal, TypeValue, 6.5)
    put(rehearsal, Press, "strip:0.3")
    assert not [e for e in journal.events("b1") if isinstance(e, ev.PhTaken | ev.PhReaderStated)]

    view = put(rehearsal, Press, "strip:0.5")
    assert view.act_view.ask is not None
    put(rehearsal, TypeValue, 6.5)
    (taken,) = (e for e in journal.events("b1") if isinstance(e, ev.PhTaken))
    assert taken.step_ph == 0.5
    (line,) = record_of(journal.stored("b1")).ph
    assert "from a strip in steps of 0.5" in line.note


def test_the_next_make_on_the_bench_is_not_asked(at_the_reading, journal):
    _, view = at_the_reading(ph_step=0.5, batch="b2")
    assert view.act_view.ask is not None
    assert view.act_view.choices == ()
