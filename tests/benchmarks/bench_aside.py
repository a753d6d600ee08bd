"""How soon a maker who weighs ahead is back when the wait wants them: ``python tests/benchmarks/bench_aside.py [N]``.

Each make heats two pots on the simulated bench and steps aside once, at a moment drawn by chance between the
beginning of the heating and its end, wherever the make still offers it then. Simulated, not tried on hardware; the
hands are made up.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from random import Random

from benchapp import events as ev
from benchapp.make.vocabulary import ChoiceKey
from benchapp.record.journal import Journal
from benchapp.rehearsal import answers, hands
from benchapp.rehearsal.run import Rehearsal, rehearse
from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from drivers.simulated import SimulatedBench
from procedures.reading import read_procedure
from procedures.shelf import find

NAMES = ("oat-hand-lotion", "winter-shore-cream", "dune-rose-emulsion")
#: The longest a heating takes on this bench, in seconds; later than that nothing is begun.
LATEST_S = 1700.0


def one(name: str, seed: int) -> dict[str, float] | None:
    """One make up to the end of its heating; None where nothing was offered any more."""
    procedure = read_procedure(find(name)).procedure
    chance = Random(f"aside/{name}/{seed}")
    bench = SimulatedBench(seed=seed)
    with tempfile.TemporaryDirectory() as folder:
        journal = Journal(Path(folder), lambda: "2026-03-01T09:00:00.000+01:00")
        facts = [facts_of(d) for d in bench.bench.devices]
        session = begin(
            journal,
            BatchOrder(procedure, procedure.default_batch_g, facts, "Mara Lind", "b", rehearsal=True),
            lambda: bench.now_s,
        )
        rehearsal = rehearse(bench, session, seed)
        made = _heat(rehearsal, chance)
        rehearsal.close()
        journal.close()
    return made


def _heat(rehearsal: Rehearsal, chance: Random) -> dict[str, float] | None:
    """Up to the end of the heating, stepping aside once; what became of it."""
    after_s, heating_s, asides = chance.uniform(0.0, LATEST_S), None, 0
    called_s: float | None = None
    out: dict[str, float] = {}
    while True:
        view, now = rehearsal.step(), rehearsal.bench.now_s
        if view.step_kind == "heat" and heating_s is None:
            heating_s = now
        if heating_s is not None and view.step_kind not in ("heat", "weigh"):
            break
        if view.meanwhile is not None and view.meanwhile.calls and called_s is None:
            called_s = now
        if view.meanwhile is None and called_s is not None:
            out["back_s"], called_s = now - called_s, None
        said = rehearsal.answers.at(view)
        if said is not None and said.choice.startswith(ChoiceKey.AHEAD):
            if asides or heating_s is None or now - heating_s < after_s:
                continue
            asides = 1
        if said is not None:
            rehearsal.session.put(said.given(rehearsal.session.clock(), view.prompt))
    whys = [e.why for e in rehearsal.session.make.state.log if isinstance(e, ev.SteppedBack)]
    return {**out, "finished": float(whys[0] == "done")} if whys else None


def main(count: int) -> None:
    """Every figure with how it was counted."""
    for pace, read_s, react_s in (("quick hands", 2.0, 1.5), ("slow hands", 15.0, 10.0)):
        answers.READ_S, hands.REACT_S = read_s, react_s
        made = [x for n in range(count) for name in NAMES if (x := one(name, n + 1)) is not None]
        fetched = [x for x in made if not x["finished"]]
        waited = sorted(x["back_s"] for x in made if "back_s" in x)
        print(f"{pace}: {count * len(NAMES)} heatings, stepped aside in {len(made)} of them")
        print(f"  finished before the wait called: {len(made) - len(fetched)}; fetched: {len(fetched)}")
        print(f"  finished a pour first: {len(waited)}, the longest {max(waited, default=0.0):.0f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20)
