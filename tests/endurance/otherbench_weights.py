"""Weighings on the independent bench, undisturbed and disturbed: what is asked that nobody needed, and what nobody noticed.

``python tests/endurance/otherbench_weights.py [makes]``. Nothing of the product's simulation is used; the truth is in the vessels.
Sizes and rates are invented for the tests.
"""

from __future__ import annotations

import sys
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

sys.path.append(str(Path(__file__).parents[1]))

from otherbench.bench import OtherBench, scale_plug
from otherbench.draught import Draught
from otherbench.maker import Maker
from otherbench.scale import Scale

from benchapp.record.journal import Journal
from procedures.reading import read_procedure
from procedures.shelf import find

WAX, POT = "emulsifying-wax", "oil-pot"
#: Choices that are only offered where something does not fit.
ODD = {"spilled", "poured on", "tool", "had begun", "from here", "unknown"}
WALL = "2026-03-01T09:00:00.000+01:00"


@dataclass
class Found:
    """One walk from the first vessel to the end of the oil phase."""

    questions: list[str] = field(default_factory=list)
    worst: float = 0.0  # of |recorded - true|, in divisions of the scale
    line: str = ""
    spilled_g: float = 0.0
    noticed: bool = False


def walk(folder: Path, seed: int, spills: bool) -> Found:
    """One make as far as the heating; where ``spills``, some of the oil pot goes over while it is in the hand."""
    random, found = Random(f"{seed}/weights"), Found()
    journal = Journal(folder / str(seed), lambda: WALL)
    procedure = read_procedure(find("oat-hand-lotion")).procedure
    noise = random.uniform(0.05, 0.45)
    scales = [Scale("large scale", 0.1, seed, noise), Scale("fine scale", 0.01, seed, noise)]
    bench = OtherBench(journal, procedure, [scale_plug(s) for s in scales], 500.0)
    bench.moves_with(Draught(bench, seed))
    maker = Maker(bench)
    try:
        if spills:
            _spill(maker, found, random)
        maker.until(lambda: _watched(maker, found) and maker.bench.view.step_kind == "heat", within_s=7200.0)
        for line, recorded_g in bench.session.make.state.weighed_g.items():
            true_g = sum(v.contents_g.get(line, 0.0) for v in bench.vessels.values())
            off = abs(recorded_g - true_g) / bench.session.make.plan.weighings[line].division_g
            found.worst, found.line = max((found.worst, found.line), (off, line))
    finally:
        bench.close()
        journal.close()
    return found


def _watched(maker: Maker, found: Found) -> bool:
    odd = maker.offered() & ODD
    where = maker.bench.view.act_view.instruction
    if found.spilled_g:
        for said in ("spilled", "mixed", "keep"):
            if said in maker.offered():
                found.noticed = found.noticed or said == "spilled"
                maker.press(said)
                return True
    if odd and (not found.questions or found.questions[-1] != where):
        found.questions.append(where)
    for said in ("from here", "unknown"):
        if said in odd:
            maker.press(said)
            return True
    return True


def _spill(maker: Maker, found: Found, random: Random) -> None:
    maker.until(maker.pouring(WAX))
    maker.pour(WAX, POT, random.uniform(5.0, 18.0))
    maker.wait(8.0)
    maker.lift("large scale")
    maker.wait(3.0)
    found.spilled_g = 10 ** random.uniform(-1.0, 1.0)
    maker.bench.vessel(POT).take_out(found.spilled_g)
    maker.put("large scale", POT)
    maker.wait(6.0)


def main() -> None:
    """Print both tables."""
    makes = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    with tempfile.TemporaryDirectory() as folder:
        calm = [walk(Path(folder) / "calm", seed, spills=False) for seed in range(makes)]
        asked = [q for f in calm for q in f.questions]
        print(f"{makes} undisturbed walks: {len(asked)} questions nobody needed {sorted(set(asked))}")
        print(f"  worst weighing {max((f.worst, f.line) for f in calm)} divisions off")
        spilt = [walk(Path(folder) / "spilt", seed, spills=True) for seed in range(makes)]
        missed = [f for f in spilt if not f.noticed]
        print(
            f"{makes} spills of 0.1 to 10 g: {len(missed)} not noticed, the largest {max((f.spilled_g for f in missed), default=0):.2f} g"
        )
        print(
            f"  worst line, noticed: {max((f.worst for f in spilt if f.noticed), default=0):.1f} divisions off;"
            f" not noticed: {max((f.worst for f in missed), default=0):.1f}"
        )


if __name__ == "__main__":
    main()
