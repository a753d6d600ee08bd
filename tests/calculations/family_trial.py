"""Forecasts over the families of vessels, beside a straight line and Newton's law. Used by the test and by the benchmark."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass, field
from math import exp, inf
from random import Random
from statistics import median

from family_waits import Wait
from forecast_trial import PLACES, RIVALS, Seen, Tally, straight_line

from benchapp.calculations.forecast import Forecaster
from benchapp.calculations.heat_loss import MeltingShare, VesselPrior
from benchapp.calculations.hot_bath import HotBath

#: How often somebody looks, in seconds; and for how long after a change a number must not be wrong.
LOOK_S, WARY_S = 15.0, 300.0
#: The time by which a change has to be noticed, in seconds, where the probe shows it by then.
NOTICED_S = 60.0
LATELY_S = 300.0


@dataclass
class Looks:
    """What was said at every look after a quarter of the wait, and how changes were taken.

    ``spoken`` and ``held`` count looks since a change only, where there is one; ``heard`` and ``silent`` all of them.
    """

    places: dict[float, Tally] = field(default_factory=lambda: {q: Tally() for q in PLACES})
    spoken: int = 0
    held: int = 0
    silent: int = 0
    heard: int = 0
    late_s: list[float] = field(default_factory=list)  # seconds from a change to the first word about it
    in_time: int = 0
    wary: list[int] = field(default_factory=lambda: [0, 0, 0])  # silent, right, wrong, soon after a change

    @property
    def silent_share(self) -> float:
        """Of the looks after a quarter."""
        return self.silent / max(1, self.silent + self.heard)

    def middle(self, place: float, who: str = "ours") -> float:
        """Median error in % of what remained."""
        return median(self.places[place].errors.get(who, [inf]))

    def row(self, family: str) -> str:
        """One line of the table."""
        cells = [
            f"{self.middle(q):3.0f} ({self.middle(q, 'straight line'):.0f}, {self.middle(q, 'Newton'):.0f}, "
            f"{self.middle(q, 'last 5 min'):.0f}) {100 * t.share:3.0f} %"
            for q, t in self.places.items()
            if t.errors
        ]
        cells += [""] * (3 - len(cells))
        cells.append(f"{100 * self.held / self.spoken:.0f} %" if self.spoken else "")
        cells.append(f"{100 * self.silent_share:.1f} %" if self.spoken else "")
        if self.late_s:
            cells.append(f"{median(self.late_s):.0f} s; {self.in_time} of {len(self.late_s)}; {self.wary}")
        return f"| {family} | " + " | ".join(cells) + " |"


def earlier_make(wait: Wait) -> list[tuple[float, float]]:
    """As the journal has one before it: the same vessel, its pace 7 % off and its readings by 0.15 K (one standard deviation,
    invented), one reading every 30 s."""
    rng = Random(f"{wait.family} {wait.reached_s}")
    pace = exp(rng.gauss(0.0, 0.07))
    return [(at * pace, temp + rng.gauss(0.0, 0.15)) for at, temp in wait.readings if at % 30.0 == 0.0]


def forecaster_for(wait: Wait, tells: Container[str] = ()) -> Forecaster:
    """Told what a procedure and a ledger tell it; where it ``tells`` them, what heats the "bath", the "heat" of
    melting and one "earlier" make as well."""
    told = wait.told
    bath = HotBath(None if told.way == "heating" else told.dial_c) if "bath" in tells and told.way else None
    heat_j_g = told.heat_j_g if "heat" in tells else None
    melts = tuple(MeltingShare(share, melts_c, heat_j_g) for share, melts_c in told.melts)
    prior = VesselPrior(
        told.mass_g, told.water, told.diameter_mm, in_bath=told.in_bath, melts=melts, bath=bath
    )
    past = (earlier_make(wait),) if "earlier" in tells else ()
    return Forecaster(wait.kind, wait.target_c, prior, wait.told_ambient_c, past=past)  # type: ignore[arg-type]


def judge(waits: list[Wait], tells: Container[str] = ()) -> Looks:
    """Every wait: at a quarter, a half and three quarters since its beginning or its change, and every few seconds."""
    looks = Looks()
    for wait in waits:
        _follow(looks, wait, tells)
    return looks


def _follow(looks: Looks, wait: Wait, tells: Container[str]) -> None:
    forecaster, begun = forecaster_for(wait, tells), wait.begun_s
    arrives = wait.changed_s is None or "out of the bath" not in wait.family
    marks = [(q, begun + q * (wait.reached_s - begun)) for q in PLACES] if arrives else []
    seen: Seen = []
    noticed: float | None = None
    for at, temp in wait.readings:
        while marks and at > marks[0][1]:
            q, now = marks.pop(0)
            _tally(looks.places[q], forecaster, wait, seen, now)
        forecaster.push(at, temp)
        if at >= begun:
            seen.append((at, temp))
        if noticed is None and wait.changed_s is not None and at > wait.changed_s and forecaster.note(at):
            noticed = at
        if at % LOOK_S == 0.0 and at < wait.reached_s:
            _look(looks, forecaster, wait, at, arrives)
    if wait.changed_s is not None and wait.plain_s is not None and wait.plain_s < wait.reached_s:
        late = inf if noticed is None else noticed - wait.changed_s
        looks.late_s.append(late)
        looks.in_time += late <= max(NOTICED_S, wait.plain_s - wait.changed_s)


def _tally(tally: Tally, forecaster: Forecaster, wait: Wait, seen: Seen, now: float) -> None:
    true = wait.reached_s - now
    for name, rival in RIVALS.items():
        tally.error(name, rival(wait, seen, now), true)
    lately = [r for r in seen if r[0] >= now - LATELY_S]
    tally.error("last 5 min", straight_line(wait, lately, now) if len(lately) > 1 else None, true)
    answer = forecaster.forecast(now)
    if answer is None:
        tally.silent += 1
        return
    tally.error("ours", answer.middle_s, true)
    tally.before += true < answer.early_s
    tally.after += true > answer.late_s
    tally.inside += answer.early_s <= true <= answer.late_s


def _look(looks: Looks, forecaster: Forecaster, wait: Wait, at: float, arrives: bool) -> None:
    answer, true = forecaster.forecast(at), wait.reached_s - at
    right = answer is not None and arrives and answer.early_s <= true <= answer.late_s
    if arrives and at >= 0.25 * wait.reached_s:
        looks.silent += answer is None
        looks.heard += answer is not None
        if at >= wait.begun_s:  # before a change nobody can know of it
            looks.spoken += answer is not None
            looks.held += right
    if wait.changed_s is not None and wait.plain_s is not None:
        wary = max(wait.changed_s + NOTICED_S, wait.plain_s)
        if wary <= at < wary + WARY_S:
            looks.wary[0 if answer is None else 1 if right else 2] += 1
