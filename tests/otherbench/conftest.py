"""Other benches for one make each."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from otherbench.bench import OtherBench, scale_plug
from otherbench.maker import Maker
from otherbench.scale import Scale


@pytest.fixture
def maker(journal, lotion) -> Iterator[Maker]:
    """A maker at two scales: 0.1 g and 0.01 g. No thermometer: what is heated is told."""
    scales = [Scale("large scale", 0.1), Scale("fine scale", 0.01)]
    bench = OtherBench(journal, lotion, [scale_plug(s) for s in scales], 500.0)
    yield Maker(bench)
    bench.close()
