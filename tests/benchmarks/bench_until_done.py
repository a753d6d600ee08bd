"""How long until the make is done? Whole makes on the other bench, each told by those before it. Simulated figures.

    python tests/benchmarks/bench_until_done.py [makes of each procedure] [first seed]

Room, bath, pots, scales and probes differ from make to make as in ``tests/otherbench``; what is invented here is that somebody
looks about before each act, for 2 to 10 s, at a speed of their own in every make (once to twice as slow). At the beginning, at a
half and at three quarters of each make: how far the middle of what is said lies off what truly remained, in %, as median and
worst; how often the truth lay between the two ends, to half a minute; how wide they are, in parts of what remained; and by how
much "at least", which is said where nothing like it was made, lies under the truth.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from random import Random
from statistics import median
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parents[1]))

from otherbench.batch_maker import BatchMaker
from otherbench.warm_bench import WarmBench
from otherbench.whole_make import WALL

from benchapp.calculations.until_done import UntilDone
from benchapp.record.journal import Journal
from benchapp.record.past_makes import past_makes
from benchapp.record.past_waits import past_waits
from procedures.model import Procedure
from procedures.reading import read_procedure
from procedures.shelf import find

PROCEDURES = ("oat-hand-lotion", "driftwood-conditioner", "tide-pool-gel")
PLACES = (0.0, 0.5, 0.75)
#: What is said is said in minutes.
HALF_A_MINUTE_S = 30.0


class Said(NamedTuple):
    """What stood on the glass, and the waiting that was sure, in seconds."""

    at_s: float
    until: UntilDone | None
    sure_s: float


class OwnPace(BatchMaker):
    """Looks about before each act, and keeps what was said about the end."""

    def __init__(self, warm: WarmBench, seed: int) -> None:
        super().__init__(warm, seed)
        self._looks = Random(f"{seed}/looks about")
        self._slow = self._looks.uniform(1.0, 2.0)
        self._act, self._ready_s = "", 0.0
        self.said: list[Said] = []

    def obey(self) -> None:
        """Once ready for this act."""
        view, now = self.bench.view, self.bench.now_s
        act = view.prompt.partition("#")[0]
        if act != self._act:
            self._act, self._ready_s = act, now + self._slow * self._looks.uniform(2.0, 10.0)
        if now >= self._ready_s:
            super().obey()
        if view.step_kind != "finish" and not view.over:
            self.said.append(Said(now, view.until_done, view.left_s))


def made(journal: Journal, procedure: Procedure, seed: int) -> Sequence[Said]:
    """One make, told by those in the journal and then put beside them; what was said while it was made."""
    with tempfile.TemporaryDirectory() as folder:
        own = Journal(Path(folder), lambda: WALL)
        warm = WarmBench(own, procedure, procedure.default_batch_g, seed)
        session = warm.bench.session
        alike = procedure.key, procedure.default_batch_g, session.rehearsing
        session.learn(past_waits(journal, *alike), past_makes(journal, *alike))
        maker = OwnPace(warm, seed)
        maker.make()
        events = own.events(session.batch)
        warm.close()
        own.close()
    batch = f"make {seed}"
    journal.append(batch, [replace(events[0], batch=batch), *events[1:]])
    return maker.said


def judge(makes: Sequence[Sequence[Said]]) -> None:
    """A line for each place in the make."""
    for place in PLACES:
        off, width, inside, under = list[float](), list[float](), 0, list[float]()
        for said in makes:
            end_s = said[-1].at_s
            one = next(x for x in said if x.at_s >= place * end_s and (x.until is not None or x is said[-1]))
            left_s = end_s - one.at_s
            if one.until is None:
                continue
            off.append(100.0 * abs(one.until.middle_s - left_s) / left_s)
            width.append((one.until.late_s - one.until.early_s) / left_s)
            inside += one.until.early_s - HALF_A_MINUTE_S <= left_s <= one.until.late_s + HALF_A_MINUTE_S
            under.append(100.0 * (1.0 - one.sure_s / left_s))
        print(
            f"  at {place:4.2f}: off by {median(off):4.1f} % ({max(off):4.1f} %), {inside} of {len(off)} between the ends, "
            f"width {median(width):.2f}; at least: {median(under):3.0f} % under"
        )


def main(count: int, first: int) -> None:
    """Each procedure, made so often."""
    several, once = list[Sequence[Said]](), list[Sequence[Said]]()
    for key in PROCEDURES:
        procedure = read_procedure(find(key)).procedure
        with tempfile.TemporaryDirectory() as folder:
            journal = Journal(Path(folder), lambda: WALL)
            makes = [made(journal, procedure, seed) for seed in range(first, first + count)]
            journal.close()
        took = [said[-1].at_s / 60.0 for said in makes]
        print(
            f"{key}: {count} makes of {min(took):.0f} to {max(took):.0f} min, each by those before it",
            flush=True,
        )
        judge(makes[1:])
        once.append(makes[1])
        several += makes[3:]
    print("by one make before:")
    judge(once)
    print("by three makes or more:")
    judge(several)


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:]]
    main(numbers[0] if numbers else 8, numbers[1] if len(numbers) > 1 else 1)
