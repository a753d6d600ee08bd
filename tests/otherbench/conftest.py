"""Other benches for one make each."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from benchapp.make.core import Make
from benchapp.runtime.session_start import plan_of
from otherbench.bench import OtherBench, scale_plug
from otherbench.maker import Maker
from otherbench.scale import Scale


@pytest.fixture
def maker(journal, lotion) -> Iterator[Maker]:
    """A maker at two scales: 0.1 g and 0.01 g. No thermometer: what is heated is told. Whatever became of the make, one that is
    taken up from its journal stands where it stood."""
    scales = [Scale("large scale", 0.1), Scale("fine scale", 0.01)]
    bench = OtherBench(journal, lotion, [scale_plug(s) for s in scales], 500.0)
    yield Maker(bench)
    bench.close()
    events, live = journal.events("other"), vars(bench.session.make.state)
    folded = vars(Make(plan_of(events[0]), events).state)
    assert {k for k in folded if k != "ledger" and folded[k] != live[k]} == set()
    assert folded["ledger"].vessels == live["ledger"].vessels
