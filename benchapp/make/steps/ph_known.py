"""What a pH step knows: its band, its solutions, what was read and added so far, and the next addition."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import ClassVar

from benchapp import events as ev
from benchapp.calculations.ph_chemistry import Solution
from benchapp.calculations.ph_dose import Suggestion
from benchapp.foundation.band import Band, Target, lower_limit
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact, to_division
from benchapp.make.acts.base import Context
from benchapp.make.acts.dilution import DilutionAct, DilutionPlan
from benchapp.make.dosing import (
    AtHand,
    Dose,
    Dosing,
    batch_unanswered_g,
    solution_in,
    suggestion,
    trial_suggestion,
    trial_unanswered,
)
from benchapp.make.filters import known_for_s
from benchapp.make.steps.ph_dilution import ph_dilution
from benchapp.make.vocabulary import Stage
from procedures.formula import FormulaLine

#: A pH reading is at rest when its highest and lowest of so many seconds, by so many readings at least, lie no further apart.
REST_PH, REST_S, FEWEST = 0.06, 10.0, 5
#: The least dose a scale weighs well enough, in its divisions: USP <41> with a fifth for a tolerance.
LEAST_DIVISIONS = 5.0
#: A dose may differ from what was asked by this share: it is recorded as it is and reckoned with.
DOSE_SHARE = 0.2
#: The steps strips are sold in, in pH (common practice, no source).
STRIP_STEPS_PH = (0.2, 0.5, 1.0)
#: A trial sample, in grams: small against a batch, large against a division.
TRIAL_G = 20.0
#: The vessel a trial sample stands in; it is no vessel of the method.
TRIAL_VESSEL = tr_noop("trial sample")
#: The most of a solution that may be typed for a trial sample, in grams.
TRIAL_MOST_G = 5.0


def _floor(grams: float, division_g: float) -> float:
    return exact(math.floor(exact(grams / division_g)) * division_g)


@dataclass(frozen=True)
class PhAct(DilutionAct):
    """A pH to be brought into ``band`` in ``vessel``. ``raise_with`` and ``lower_with`` are lines of the formula."""

    undiluted: ClassVar[Stage] = Stage.ADJUST

    vessel: str = ""
    band: Band = field(default_factory=lambda: Band(4.0, 6.0))
    sample_g: float = 10.0
    settle_s: float = 60.0
    water_parts: float = 0.0
    raise_with: tuple[str, ...] = ()
    lower_with: tuple[str, ...] = ()
    meter: str = ""
    checked: bool = False

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
        return tr("pH {low:g}–{high:g}", low=self.band.low, high=self.band.high)

    def asks_for_reader(self, context: Context) -> bool:
        """Whether nobody has said yet what the pH is read with. A rehearsal's simulated hands read a meter."""
        started = context.state.started
        real = started is not None and not started.rehearsal
        return not self.meter and real and context.state.ph_step is None

    def dilution_plan(self, context: Context) -> DilutionPlan | None:
        """See DilutionAct."""
        water = next((x for x in context.plan.procedure.formula.lines if x.material.role == "water"), None)
        return ph_dilution(self.suggested(context), self.at_hand(context), water, self.division_g(context))

    def diluted(self, context: Context, made: ev.DilutionMade) -> list[ev.Event]:
        """The next addition can be weighed now."""
        return [self.stage(context, Stage.ADJUST)]

    # --- readings ------------------------------------------------------------------------------------

    def live_ph(self, context: Context) -> float | None:
        """What the meter shows now."""
        recent = context.watch.ph.get(self.meter)
        fresh_s = known_for_s(context.period_s(self.meter))
        return recent[-1][1] if recent and context.now_s - recent[-1][0] <= fresh_s else None

    def at_rest(self, context: Context) -> bool:
        """Whether it has come to rest in this stage."""
        recent = context.watch.ph.get(self.meter, [])
        rest_s = max(REST_S, FEWEST * context.period_s(self.meter))
        since = max(context.progress.stage_at_s, context.now_s - rest_s)
        window = [v for t, v in recent if t >= since]
        long_enough = context.now_s - context.progress.stage_at_s >= rest_s
        return long_enough and len(window) >= FEWEST and max(window) - min(window) <= REST_PH

    def last_ph(self, context: Context) -> float | None:
        """The batch's last reading in this step."""
        return next((e.ph for e in reversed(context.state.phs) if e.step == self.step.key), None)

    def waited_s(self, context: Context) -> float:
        """For how long its stage has gone on, in seconds. A probe settles by itself; nothing stirs itself."""
        by_hand = context.progress.stage.plain == Stage.STIR
        return context.attended_s if by_hand else context.now_s - context.progress.stage_at_s

    # --- the next addition ---------------------------------------------------------------------------

    def solutions(self, context: Context) -> tuple[FormulaLine, ...]:
        """The lines that move the pH back."""
        ph = self.last_ph(context)
        if ph is None:
            return ()
        return self._lines(context, self.lower_with if ph > self.band.high else self.raise_with)

    def _lines(self, context: Context, keys: Sequence[str]) -> tuple[FormulaLine, ...]:
        by_key = {x.key: x for x in context.plan.procedure.formula.lines}
        return tuple(by_key[key] for key in keys)

    def division_g(self, context: Context) -> float:
        """Of the scale the doses are weighed on."""
        return context.division_g(self.scale) if self.scale else 0.01

    def cap_left_g(self, context: Context, line: FormulaLine) -> float:
        """How much more of a line the method allows, in grams."""
        percent = line.cap_percent or 0.0
        planned_g = context.state.batch_g or context.plan.batch_g
        added = sum(w.net_g for w in context.state.weights.get(line.key, ()))
        # The cap is of what is there: less than was planned once samples are taken and something was lost.
        others_g = max(context.state.ledger.of(self.vessel).content_g - added, 0.0)
        there_g = percent / (100.0 - percent) * others_g if percent < 100.0 and others_g else math.inf
        return max(min(percent * planned_g / 100, there_g) - added, 0.0)

    def at_hand(self, context: Context) -> tuple[AtHand, ...]:
        """Every solution that moves the pH back, as it is bought, and every dilution of one that stands there."""
        out: list[AtHand] = []
        for line in self.solutions(context):
            cap_g, solution = self.cap_left_g(context, line), solution_in(line)
            out.append(AtHand(line, solution, cap_g))
            made = context.state.dilutions.get(line.key)
            if made is not None and solution is not None:
                share = made.solution_g / (made.solution_g + made.water_g)
                weaker = Solution(solution.titrant, solution.percent * share)
                left_g = min(cap_g / share, context.state.diluted_left_g.get(line.key, 0.0))
                out.append(AtHand(line, weaker, left_g, made.name, share))
        return tuple(out)

    def _dosing(self, context: Context) -> Dosing:
        return Dosing(
            step=self.step.key, vessel=self.vessel, band=self.band, at_hand=self.at_hand(context),
            water_parts=self.water_parts, least_g=self.least_g(context), trial_g=TRIAL_G,
            lines=self._lines(context, (*self.raise_with, *self.lower_with)),
        )  # fmt: skip

    def trial_unanswered(self, context: Context) -> tuple[float, float] | None:
        """The pH and the grams of a trial sample that did not move by what was put into it; None where it did."""
        return trial_unanswered(context, self._dosing(context))

    def unanswered_g(self, context: Context) -> float:
        """Grams that went into the batch since its pH moved last."""
        return batch_unanswered_g(context, self._dosing(context))

    def least_g(self, context: Context) -> float:
        """The least dose the scale weighs well enough, in grams."""
        return LEAST_DIVISIONS * self.division_g(context)

    def suggested(self, context: Context, trial: bool = False) -> Suggestion | None:
        """The next addition to the batch or to the trial sample; None where no line is a known solution."""
        return (trial_suggestion if trial else suggestion)(context, self._dosing(context))

    def dose(self, context: Context, trial: bool = False) -> Dose | None:
        """What to add next; None where nothing can be."""
        found, at_hand = self.suggested(context, trial), self.at_hand(context)
        division = self.division_g(context)
        if found is not None:
            if found.solution is None or found.mass_g <= 0:
                return None
            of = next(x for x in at_hand if x.solution == found.solution)
            most_g = math.inf if math.isinf(found.most_g) else _floor(found.most_g, division)
            # A division of room above it, where that still leaves enough to be weighed: no hand stops at a number.
            grams = min(_floor(found.mass_g, division), max(exact(most_g - division), self.least_g(context)))
            return Dose(of, grams, most_g) if grams > 0 else None
        # An acid or base nobody has constants for: a tenth of what is allowed, and look again.
        if trial or not at_hand:
            return None
        of = at_hand[0]
        tenth = (of.line.cap_percent or 0.0) * context.plan.batch_g / 1000
        enough = of.cap_left_g >= self.least_g(context)
        grams = to_division(min(tenth, of.cap_left_g), division) if enough else 0.0
        return Dose(of, grams) if grams > 0 else None

    def dose_target(self, context: Context, dose: Dose) -> Target:
        """A dose, and between which masses it is taken as weighed: never more than would be a risk."""
        division = self.division_g(context)
        off_g = max(DOSE_SHARE * dose.grams, 2 * division)
        high_g = max(min(dose.grams + off_g, dose.most_g), dose.grams)
        return Target(dose.grams, Band(lower_limit(dose.grams, off_g, division), high_g))

    def may_try(self, context: Context) -> bool:
        """Whether a trial sample still tells something: before any addition, once, with a known solution."""
        if any(context.state.weights.get(key) for key in (*self.raise_with, *self.lower_with)):
            return False
        if (
            context.state.trial
            or context.state.dilutions
            or context.state.ledger.of(self.vessel).content_g < 5 * TRIAL_G
        ):
            return False
        return any(solution_in(x) for x in self.solutions(context))
