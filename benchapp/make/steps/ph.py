"""Measure pH: a sample near room temperature, a reading at rest, and additions until the batch is in its band."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.dilution import begin_dilution, dilute, discarded
from benchapp.make.inputs import Input, PhRead, Press, TypeValue
from benchapp.make.plan import Plan, scales_of
from benchapp.make.steps.ph_dose import (
    STIR_S,
    TRIAL_STIR_S,
    clear,
    next_stage,
    take_lot_of,
    weigh_dose,
)
from benchapp.make.steps.ph_known import STRIP_STEPS_PH, TRIAL_G, PhAct
from benchapp.make.steps.ph_view import act_view_of
from benchapp.make.view_model import ActView
from benchapp.make.vocabulary import ChoiceKey, Stage
from procedures.steps import MeasurePh

#: This far outside the band is major, nearer is minor.
MAJOR_PH = 0.5


def acts(step: MeasurePh, plan: Plan) -> tuple[Act, ...]:
    """One act: sample, read, adjust, again."""
    meter = plan.ph_meter
    fine = next(iter(scales_of(plan.devices)), None)
    return (
        Adjust(
            "ph", step, vessel=step.vessel, band=step.band, sample_g=step.sample_g, settle_s=step.settle_s,
            water_parts=step.water_parts, raise_with=step.raise_with, lower_with=step.lower_with,
            meter=meter.name if meter else "", scale=fine.name if fine else "",
            checked=bool(meter and meter.checked), scale_checked=bool(fine and fine.checked),
        ),
    )  # fmt: skip


@dataclass(frozen=True)
class Adjust(PhAct):
    """Until the pH is in its band, or the maker decides otherwise. A trial sample may go before the batch."""

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """One stage at a time; the trial's stages mirror the batch's."""
        trial, stage = context.progress.stage.on_trial, context.progress.stage.plain
        waited_s = self.waited_s(context)
        if context.progress.stage.on_dilution:
            return dilute(self, context, given)
        if stage == Stage.FIRST and pressed(given, ChoiceKey.YES):
            return self._sampled(context, self.sample_g, "pH", Stage.SETTLE)
        if stage == Stage.SAMPLE and pressed(given, ChoiceKey.YES):
            return self._sampled(context, TRIAL_G, "pH trial", Stage.TRIAL_NEXT)
        if stage == Stage.SETTLE and waited_s >= self.settle_s:
            return [self.stage(context, Stage.READ.tried(trial))]
        if stage == Stage.READ:
            return self._reading(context, given, trial)
        if stage == Stage.ADJUST:
            return self._decision(context, given)
        if stage.asks_lot:
            return take_lot_of(self, context, given, trial)
        if stage == Stage.NEXT:
            go_on = self.dose(context, trial=True) is not None
            return [next_stage(self, context, trial=True) if go_on else self.stage(context, Stage.ADJUST)]
        if stage == Stage.CLEAR:
            return clear(self, context, trial)
        if stage in (Stage.DOSE, Stage.TYPED):
            enough = trial and pressed(given, ChoiceKey.ENOUGH)
            return [self.stage(context, Stage.ADJUST)] if enough else weigh_dose(self, context, given, trial)
        if stage == Stage.STIR and waited_s >= (TRIAL_STIR_S if trial else STIR_S):
            return self._stirred(context, trial)
        return []

    def _sampled(self, context: Context, grams: float, what: str, then: Stage) -> list[ev.Event]:
        taken = ev.SampleTaken(
            at_s=context.now_s, step=self.step.key, vessel=self.vessel, mass_g=grams, what=what,
            source=ev.Source.STATED,
        )  # fmt: skip
        return [taken, self.stage(context, then)]

    def _stirred(self, context: Context, trial: bool) -> list[ev.Event]:
        if trial:
            return [self.stage(context, Stage.TRIAL_SETTLE)]
        return [
            self.confirm(context, tr("Stirred for {stir_s:.0f} s", stir_s=STIR_S)),
            self.stage(context, Stage.FIRST),
        ]

    def _reading(self, context: Context, given: Input, trial: bool) -> list[ev.Event]:
        if self.asks_for_reader(context):
            return self._reader(context, given)
        if isinstance(given, TypeValue):
            out: list[ev.Event] = []
            if self.meter and self.meter not in context.state.lost and self.live_ph(context) is not None:
                text = tr(
                    "pH {value:g} typed although the {meter} was working.",
                    value=given.value,
                    meter=self.meter,
                )
                out.append(self.deviation(context, ev.Grade.NOTE, tr_noop("typed over a device"), text))
            return [*out, *self._read(context, given.value, ev.Source.STATED, trial)]
        if isinstance(given, PhRead) and given.device == self.meter and self.at_rest(context):
            return self._read(context, round(given.ph, 2), ev.Source.MEASURED, trial)
        return []

    def _reader(self, context: Context, given: Input) -> list[ev.Event]:
        if not isinstance(given, Press) or given.key not in (ChoiceKey.METER, ChoiceKey.STRIP):
            return []
        step_ph = next((x for x in STRIP_STEPS_PH if f"{x:g}" == given.of), 0.0)
        if given.key == ChoiceKey.STRIP and not step_ph:
            return []
        return [ev.PhReaderStated(at_s=context.now_s, step=self.step.key, step_ph=step_ph)]

    def _read(self, context: Context, ph: float, source: ev.Source, trial: bool) -> list[ev.Event]:
        inside = self.band.holds(ph)
        measured = source is ev.Source.MEASURED
        taken = ev.PhTaken(
            at_s=context.now_s, step=self.step.key, ph=ph, temp_c=None, diluted=self.water_parts > 0,
            source=source, device=self.meter if measured else "", in_band=inside, of="trial" if trial else "",
            step_ph=0.0 if measured else context.state.ph_step or 0.0,
        )  # fmt: skip
        if trial:
            return [taken, self.stage(context, Stage.TRIAL_NEXT)]
        if not inside:
            return [taken, self.stage(context, Stage.ADJUST)]
        return [taken, *discarded(self, context), self.finish(context)]

    def _decision(self, context: Context, given: Input) -> list[ev.Event]:
        if pressed(given, ChoiceKey.AGAIN):
            return [self.stage(context, Stage.FIRST)]
        if pressed(given, ChoiceKey.TRY) and self.may_try(context):
            return [self.stage(context, Stage.TRIAL_SAMPLE)]
        if pressed(given, ChoiceKey.ADD) and self.dose(context) is not None:
            return [next_stage(self, context, trial=False)]
        if pressed(given, ChoiceKey.DILUTE):
            return begin_dilution(self, context)
        if isinstance(given, Press) and given.key == ChoiceKey.ACCEPT and given.reason:
            ph = self.last_ph(context) or 0.0
            off = max(self.band.low - ph, ph - self.band.high)
            grade = ev.Grade.MAJOR if off > MAJOR_PH else ev.Grade.MINOR
            text = tr(
                "pH {ph:.2f}, band {low:g} to {high:g}. Kept by the maker: {reason}",
                ph=ph,
                low=self.band.low,
                high=self.band.high,
                reason=given.reason,
            )
            off_band = self.deviation(context, grade, tr_noop("pH out of band"), text)
            return [off_band, *discarded(self, context), self.finish(context)]
        return []

    def act_view(self, context: Context) -> ActView:
        """What this stage wants."""
        return act_view_of(self, context)
