"""What a pH step knows: its band, its solutions, what was read and added so far, and the next addition."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from benchapp.calculations.ph_dose import Suggestion
from benchapp.foundation.band import Band, Target
from benchapp.foundation.numbers import exact, to_division
from benchapp.make.acts.base import Act, Context
from benchapp.make.dosing import Dosing, solution_in, suggestion, trial_suggestion
from procedures.formula import FormulaLine

#: A pH reading is at rest when it moved less than this in this many seconds.
REST_PH, REST_S = 0.02, 10.0
#: The least dose a scale weighs well enough, in its divisions: USP <41> with a fifth for a tolerance.
LEAST_DIVISIONS = 5.0
#: A dose may differ from what was asked by this share: it is recorded as it is and reckoned with.
DOSE_SHARE = 0.2
#: A trial sample, in grams: small against a batch, large against a division.
TRIAL_G = 20.0
#: The vessel a trial sample stands in; it is no vessel of the method.
TRIAL_VESSEL = "trial sample"
#: The most of a solution that may be typed for a trial sample, in grams.
TRIAL_MOST_G = 5.0


@dataclass(frozen=True)
class PhAct(Act):
    """A pH to be brought into ``band`` in ``vessel``. ``raise_with`` and ``lower_with`` are lines of the formula."""

    vessel: str = ""
    band: Band = field(default_factory=lambda: Band(4.0, 6.0))
    sample_g: float = 10.0
    settle_s: float = 60.0
    water_parts: float = 0.0
    raise_with: tuple[str, ...] = ()
    lower_with: tuple[str, ...] = ()
    meter: str = ""
    scale: str = ""
    checked: bool = False
    scale_checked: bool = False

    @property
    def devices(self) -> tuple[str, ...]:
        """The meter, where there is one."""
        return (self.meter,) if self.meter else ()

    @property
    def uses(self) -> frozenset[str]:
        """The meter, and the scale the additions are weighed on."""
        return frozenset((*self.devices, self.scale))

    @property
    def sure_s(self) -> float:
        """One reading that settles."""
        return self.settle_s

    @property
    def brief(self) -> str:
        """The band."""
        return f"pH {self.band.low:g}–{self.band.high:g}"

    # --- readings ------------------------------------------------------------------------------------

    def live_ph(self, context: Context) -> float | None:
        """What the meter shows now."""
        recent = context.watch.ph.get(self.meter)
        return recent[-1][1] if recent and context.now_s - recent[-1][0] <= 5.0 else None

    def at_rest(self, context: Context) -> bool:
        """Whether it has come to rest in this stage."""
        recent = context.watch.ph.get(self.meter, [])
        since = max(context.progress.stage_at_s, context.now_s - REST_S)
        window = [v for t, v in recent if t >= since]
        long_enough = context.now_s - context.progress.stage_at_s >= REST_S
        return long_enough and len(window) >= 5 and max(window) - min(window) <= 3 * REST_PH

    def last_ph(self, context: Context) -> float | None:
        """The batch's last reading in this step."""
        return next((e.ph for e in reversed(context.state.phs) if e.step == self.step.key), None)

    # --- the next addition ---------------------------------------------------------------------------

    def solutions(self, context: Context) -> tuple[FormulaLine, ...]:
        """The lines that move the pH back."""
        ph = self.last_ph(context)
        if ph is None:
            return ()
        keys = self.lower_with if ph > self.band.high else self.raise_with
        by_key = {x.key: x for x in context.plan.procedure.formula.lines}
        return tuple(by_key[key] for key in keys)

    def division_g(self, context: Context) -> float:
        """Of the scale the doses are weighed on."""
        return context.division_g(self.scale) if self.scale else 0.01

    def cap_left_g(self, context: Context, line: FormulaLine) -> float:
        """How much more of a line the method allows, in grams."""
        cap = (line.cap_percent or 0.0) * (context.state.batch_g or context.plan.batch_g) / 100
        added = sum(w.net_g for w in context.state.weights.get(line.key, ()))
        return max(cap - added, 0.0)

    def _dosing(self, context: Context) -> Dosing:
        lines = self.solutions(context)
        return Dosing(
            step=self.step.key, vessel=self.vessel, band=self.band, lines=lines, water_parts=self.water_parts,
            least_g=LEAST_DIVISIONS * self.division_g(context),
            cap_left_g=min((self.cap_left_g(context, x) for x in lines), default=0.0), trial_g=TRIAL_G,
        )  # fmt: skip

    def suggested(self, context: Context, trial: bool = False) -> Suggestion | None:
        """The next addition to the batch or to the trial sample; None where no line is a known solution."""
        return (trial_suggestion if trial else suggestion)(context, self._dosing(context))

    def dose(self, context: Context, trial: bool = False) -> tuple[FormulaLine, float] | None:
        """The line and the grams to add next; None where nothing can be."""
        found, lines = self.suggested(context, trial), self.solutions(context)
        division = self.division_g(context)
        if found is not None:
            if found.solution is None or found.mass_g <= 0:
                return None
            line = next(x for x in lines if solution_in(x) == found.solution)
            grams = exact(math.floor(exact(found.mass_g / division)) * division)
            return (line, grams) if grams > 0 else None
        # An acid or base nobody has constants for: a tenth of what is allowed, and look again.
        if trial or not lines:
            return None
        line = lines[0]
        cap = self.cap_left_g(context, line)
        tenth = (line.cap_percent or 0.0) * context.plan.batch_g / 1000
        grams = 0.0 if cap < LEAST_DIVISIONS * division else to_division(min(tenth, cap), division)
        return (line, grams) if grams > 0 else None

    def dose_target(self, context: Context, grams: float) -> Target:
        """A dose, and between which masses it is taken as weighed."""
        return Target.within(grams, max(DOSE_SHARE * grams, 2 * self.division_g(context)), -grams)

    def may_try(self, context: Context) -> bool:
        """Whether a trial sample still tells something: before any addition, once, with a known solution."""
        if any(context.state.weights.get(key) for key in (*self.raise_with, *self.lower_with)):
            return False
        if context.state.trial or context.state.ledger.of(self.vessel).content_g < 5 * TRIAL_G:
            return False
        return any(solution_in(x) for x in self.solutions(context))
