"""Two ways to say "stop", over the same simulated pours."""

from __future__ import annotations

import numpy as np
from simulated_landings import REACTION_S, Landings, benches, land

from benchapp.calculations.landing import Lateness, stop_in_s
from benchapp.calculations.settling import Stillness


def run(count: int, seed: int, reaction_s: float = REACTION_S) -> dict[str, Landings]:
    """Landing errors of the display at its target, of the fixed guess, and of the guess that learns."""
    rng = np.random.default_rng(seed)
    out = {
        "display reads the target": Landings(),
        "ours, first guess": Landings(),
        "ours, learning": Landings(),
    }
    for one in benches(count, rng, reaction_s):
        lateness = Lateness(one.division_g)
        for i, target in enumerate(one.targets_g):
            target = float(target)
            readings = list(zip(one.times[i].tolist(), one.shown[i].tolist(), strict=True))
            for name, landings in out.items():
                cue_s = _cue(name, readings, target, one.division_g, lateness)
                if cue_s is None:
                    continue
                lands = land(one, i, cue_s)
                if name == "ours, learning":
                    lateness.landed(round(lands / one.division_g) * one.division_g)
                landings.error_g.append(lands - target)
                landings.target_g.append(target)
                landings.division_g.append(one.division_g)
    return out


def _cue(name: str, readings, target: float, division: float, lateness: Lateness) -> float | None:
    """When "stop" was said, None where it never was."""
    still = Stillness(division)
    for k, (at, shown) in enumerate(readings):
        still.push(at, shown, None)
        if name == "display reads the target":
            if shown >= target - 0.5 * division:
                return at
            continue
        if shown < 0.3 * target:
            continue
        late_s = lateness.late_s if name == "ours, learning" else Lateness(division).late_s
        wait_s = stop_in_s(shown, still.flow_g_s, target, late_s)
        period_s = at - readings[k - 1][0]
        if wait_s is not None and wait_s < period_s:
            if name == "ours, learning":
                lateness.cue(shown + still.flow_g_s * max(wait_s, 0.0), still.flow_g_s)
            return at + max(wait_s, 0.0)
    return None
