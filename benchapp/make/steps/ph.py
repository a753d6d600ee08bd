"""Measure pH: a sample near room temperature, a reading at rest, and additions until the batch is in its band."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.make.acts.base import Act, Sight, pressed
from benchapp.make.acts.lot import OTHERS, REFUSED
from benchapp.make.inputs import Input, PhRead, Press, TypeValue
from benchapp.make.moment import Face
from benchapp.make.plan import Plan
from benchapp.make.steps.ph_dose import STIR_S, TRIAL_STIR_S, clear, next_stage, take_lot_of, weigh_dose
from benchapp.make.steps.ph_face import face_of
from benchapp.make.steps.ph_known import TRIAL, TRIAL_G, PhAct
from procedures.steps import MeasurePh

#: This far outside the band is major, nearer is minor.
MAJOR_PH = 0.5


def acts(step: MeasurePh, plan: Plan) -> tuple[Act, ...]:
    """One act: sample, read, adjust, again."""
    meter = plan.ph_meter
    fine = min(
        (d for d in plan.devices if d.kind == "scale" and d.readability_g), key=lambda d: d.readability_g or 0,
        default=None,
    )  # fmt: skip
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

    def take(self, sight: Sight, given: Input) -> list[ev.Event]:
        """One stage at a time; the trial's stages mirror the batch's."""
        full = sight.progress.stage
        trial, stage = full.startswith(TRIAL), full.removeprefix(TRIAL)
        waited_s = sight.now_s - sight.progress.stage_at_s
        if stage == "" and pressed(given, "yes"):
            return self._sampled(sight, self.sample_g, "pH", "settle")
        if stage == "sample" and pressed(given, "yes"):
            return self._sampled(sight, TRIAL_G, "pH trial", TRIAL + "next")
        if stage == "settle" and waited_s >= self.settle_s:
            return [self.stage(sight, (TRIAL if trial else "") + "read")]
        if stage == "read":
            return self._reading(sight, given, trial)
        if stage == "adjust":
            return self._decision(sight, given)
        if stage in ("lot", OTHERS) or stage.startswith(REFUSED):
            return take_lot_of(self, sight, given, trial)
        if stage == "next":
            go_on = self.dose(sight, trial=True) is not None
            return [next_stage(self, sight, trial=True) if go_on else self.stage(sight, "adjust")]
        if stage == "clear":
            return clear(self, sight, trial)
        if stage == "dose":
            enough = trial and pressed(given, "enough")
            return [self.stage(sight, "adjust")] if enough else weigh_dose(self, sight, given, trial)
        if stage == "stir" and waited_s >= (TRIAL_STIR_S if trial else STIR_S):
            return self._stirred(sight, trial)
        return []

    def _sampled(self, sight: Sight, grams: float, what: str, then: str) -> list[ev.Event]:
        taken = ev.SampleTaken(
            at_s=sight.now_s, step=self.step.key, vessel=self.vessel, mass_g=grams, what=what,
            source=ev.Source.STATED,
        )  # fmt: skip
        return [taken, self.stage(sight, then)]

    def _stirred(self, sight: Sight, trial: bool) -> list[ev.Event]:
        if trial:
            return [self.stage(sight, TRIAL + "settle")]
        return [self.confirm(sight, f"Stirred for {STIR_S:.0f} s"), self.stage(sight, "")]

    def _reading(self, sight: Sight, given: Input, trial: bool) -> list[ev.Event]:
        if isinstance(given, TypeValue):
            out: list[ev.Event] = []
            if self.meter and self.meter not in sight.state.lost and self.live_ph(sight) is not None:
                text = f"pH {given.value:g} typed although the {self.meter} was working."
                out.append(self.deviation(sight, ev.Grade.NOTE, "typed over a device", text))
            return [*out, *self._read(sight, given.value, ev.Source.STATED, trial)]
        if isinstance(given, PhRead) and given.device == self.meter and self.at_rest(sight):
            return self._read(sight, round(given.ph, 2), ev.Source.MEASURED, trial)
        return []

    def _read(self, sight: Sight, ph: float, source: ev.Source, trial: bool) -> list[ev.Event]:
        inside = self.band.holds(ph)
        measured = source is ev.Source.MEASURED
        taken = ev.PhTaken(
            at_s=sight.now_s, step=self.step.key, ph=ph, temp_c=None, diluted=self.water_parts > 0,
            source=source, device=self.meter if measured else "", in_band=inside, of="trial" if trial else "",
        )  # fmt: skip
        if trial:
            return [taken, self.stage(sight, TRIAL + "next")]
        return [taken, self.finish(sight) if inside else self.stage(sight, "adjust")]

    def _decision(self, sight: Sight, given: Input) -> list[ev.Event]:
        if pressed(given, "again"):
            return [self.stage(sight, "")]
        if pressed(given, "try") and self.may_try(sight):
            return [self.stage(sight, TRIAL + "sample")]
        if pressed(given, "add") and self.dose(sight) is not None:
            return [next_stage(self, sight, trial=False)]
        if isinstance(given, Press) and given.choice == "accept" and given.reason:
            ph = self.last_ph(sight) or 0.0
            off = max(self.band.low - ph, ph - self.band.high)
            grade = ev.Grade.MAJOR if off > MAJOR_PH else ev.Grade.MINOR
            text = f"pH {ph:.2f}, band {self.band.low:g} to {self.band.high:g}. Accepted: {given.reason}"
            return [self.deviation(sight, grade, "pH out of band", text), self.finish(sight)]
        return []

    def face(self, sight: Sight) -> Face:
        """What this stage wants."""
        return face_of(self, sight)
