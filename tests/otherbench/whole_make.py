"""One whole make on the warm bench, and what its record says held against what truly happened."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from benchapp.record.drawing_up import record_of
from benchapp.record.journal import Journal
from otherbench.batch_maker import BatchMaker
from otherbench.draught import Draught
from otherbench.warm_bench import WarmBench
from procedures.reading import read_procedure
from procedures.shelf import find

WALL = "2026-03-01T09:00:00.000+01:00"
PROCEDURES = (
    "oat-hand-lotion",
    "driftwood-conditioner",
    "dune-rose-emulsion",
    "tide-pool-gel",
    "winter-shore-cream",
    "sand-bar-balm",
)


@dataclass(frozen=True)
class Disturbances:
    """What an honest bench has: probes of some digit, lifted now and then, a batch whose pH is off."""

    digit_k: float = 0.1
    lifts_s: float = 0.0
    ph_off: float = 0.0
    draughts: bool = False


@dataclass(frozen=True)
class WholeMake:
    """What came of it."""

    key: str
    seed: int
    digit_k: float
    outcome: str
    bench_s: float
    questions: tuple[str, ...]
    deviations: tuple[str, ...]
    worst_divisions: float
    worst_line: str
    worst_k: float
    worst_where: str
    yield_off_percent: float
    ph: float | None = None  # truly, at the end
    doses: tuple[tuple[str, float], ...] = ()
    untold: tuple[str, ...] = ()  # what the maker did, and the terminal had not said
    lines: dict[str, tuple[float, float]] = field(default_factory=dict)  # line → recorded, true grams


def make(folder: Path, key: str, seed: int = 1, disturbed: Disturbances | None = None) -> WholeMake:
    """From the first vessel to the signature."""
    disturbed = disturbed or Disturbances()
    procedure = read_procedure(find(key)).procedure
    journal = Journal(folder / f"{key}-{seed}", lambda: WALL)
    warm = WarmBench(journal, procedure, procedure.default_batch_g, seed, disturbed.digit_k)
    if disturbed.draughts:
        warm.bench.moves_with(Draught(warm.bench, seed))
    band = procedure.formula.ph
    edge = 0.0 if not disturbed.ph_off else band.high if disturbed.ph_off > 0 else band.low
    maker = BatchMaker(warm, seed, disturbed.lifts_s, edge + disturbed.ph_off if edge else None)
    try:
        maker.make()
        record = record_of(journal.stored("other"))
        bottles = [v for k, v in warm.bench.vessels.items() if k not in procedure.vessels and k != "boat"]
        true_yield = 100.0 * sum(v.net_g for v in bottles) / record.batch_g
        weighed = warm.bench.session.make.state.weighed_g
        return WholeMake(
            key, seed, disturbed.digit_k, record.outcome, warm.bench.now_s, tuple(maker.questions),
            tuple(f"{d.grade} {d.kind}: {d.text}" for d in warm.bench.session.make.state.deviations),
            warm.worst_divisions, warm.worst_line, warm.worst_k, warm.worst_where,
            abs((record.yield_percent or 0.0) - true_yield),
            maker.acidity.ph(next(s.water_parts for s in procedure.steps if str(s.kind) == "measure ph"))
            if maker.acidity is not None else None,
            tuple(maker.doses),
            tuple(maker.ears.untold),
            {k: (g, warm.bench.went_in_g.get(k, 0.0)) for k, g in weighed.items()},
        )  # fmt: skip
    finally:
        warm.close()
        journal.close()
