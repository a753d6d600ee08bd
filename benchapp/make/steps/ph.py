"""Measure pH: a sample near room temperature, a reading at rest, and additions until the batch is in its band."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from benchapp import events as ev
from benchapp.calculations.ph_dose import Suggestion
from benchapp.make.acts.base import Act, Sight, pressed
from benchapp.make.acts.vessel import cleared, pan_is_empty
from benchapp.make.dosing import suggestion
from benchapp.make.inputs import Grams, Input, PhRead, Press, TypeValue
from benchapp.make.moment import (
    Ask,
    BandPicture,
    Choice,
    Face,
    Forecast,
    Live,
    TimerPicture,
    VesselPicture,
    Want,
)
from benchapp.make.plan import Plan
from procedures.model import Band, FormulaLine, MeasurePh

#: A pH reading is at rest when it moved less than this in this many seconds.
REST_PH, REST_S = 0.02, 10.0
#: The least dose a scale weighs well enough, in its divisions: USP <41> with a fifth for a tolerance.
LEAST_DIVISIONS = 5.0
#: A dose may differ from what was asked by this share: it is recorded as it is and reckoned with.
DOSE_SHARE = 0.2
#: How long an addition is stirred in before the next sample, in seconds (common practice, no source).
STIR_S = 120.0
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
class Adjust(Act):
    """Until the pH is in its band, or the maker decides otherwise."""

    vessel: str = ""
    band: Band = field(default_factory=lambda: Band(4.0, 6.0))
    sample_g: float = 10.0
    settle_s: float = 60.0
    water_parts: float = 0.0
    raise_with: str = ""
    lower_with: str = ""
    meter: str = ""
    scale: str = ""
    checked: bool = False
    scale_checked: bool = False

    @property
    def devices(self) -> tuple[str, ...]:
        """The meter, where there is one."""
        return (self.meter,) if self.meter else ()

    @property
    def brief(self) -> str:
        """The band."""
        return f"pH {self.band.low:g}–{self.band.high:g}"

    # --- deciding ------------------------------------------------------------------------------------

    def take(self, sight: Sight, given: Input) -> list[ev.Event]:
        """One stage at a time."""
        stage = sight.state.progress.stage
        if stage == "" and pressed(given, "yes"):
            taken = ev.SampleTaken(
                at_s=sight.now_s, step=self.step.key, vessel=self.vessel, mass_g=self.sample_g, what="pH",
                source=ev.Source.STATED,
            )  # fmt: skip
            return [taken, self.stage(sight, "settle")]
        if stage == "settle" and sight.now_s - sight.state.progress.stage_at_s >= self.settle_s:
            return [self.stage(sight, "read")]
        if stage == "read":
            return self._reading(sight, given)
        if stage == "adjust":
            return self._decision(sight, given)
        if stage == "clear":
            return self._clearing(sight, given)
        if stage == "dose":
            return self._dosing(sight, given)
        if stage == "stir" and sight.now_s - sight.state.progress.stage_at_s >= STIR_S:
            return [self.confirm(sight, f"Stirred for {STIR_S:.0f} s"), self.stage(sight, "")]
        return []

    def _reading(self, sight: Sight, given: Input) -> list[ev.Event]:
        if isinstance(given, TypeValue):
            out: list[ev.Event] = []
            if self.meter and self.meter not in sight.state.lost and self._live_ph(sight) is not None:
                text = f"pH {given.value:g} typed although the {self.meter} was working."
                out.append(self.deviation(sight, ev.Grade.NOTE, "typed over a device", text))
            return [*out, *self._taken(sight, given.value, ev.Source.STATED)]
        if isinstance(given, PhRead) and given.device == self.meter and self._at_rest(sight):
            return self._taken(sight, round(given.ph, 2), ev.Source.MEASURED)
        return []

    def _taken(self, sight: Sight, ph: float, source: ev.Source) -> list[ev.Event]:
        inside = self.band.holds(ph)
        measured = source is ev.Source.MEASURED
        taken = ev.PhTaken(
            at_s=sight.now_s, step=self.step.key, ph=ph, temp_c=None, diluted=self.water_parts > 0,
            source=source, device=self.meter if measured else "", in_band=inside,
        )  # fmt: skip
        return [taken, self.finish(sight) if inside else self.stage(sight, "adjust")]

    def _decision(self, sight: Sight, given: Input) -> list[ev.Event]:
        if pressed(given, "again"):
            return [self.stage(sight, "")]
        if pressed(given, "add") and self._helper(sight) is not None and self._dose_g(sight) > 0:
            return [self.stage(sight, "clear" if self.scale else "dose")]
        if isinstance(given, Press) and given.choice == "accept" and given.reason:
            ph = sight.state.progress.value or 0.0
            off = max(self.band.low - ph, ph - self.band.high)
            grade = ev.Grade.MAJOR if off > MAJOR_PH else ev.Grade.MINOR
            text = f"pH {ph:.2f}, band {self.band.low:g} to {self.band.high:g}. Accepted: {given.reason}"
            return [self.deviation(sight, grade, "pH out of band", text), self.finish(sight)]
        return []

    def _clearing(self, sight: Sight, given: Input) -> list[ev.Event]:
        still = sight.still_g(self.scale, 1.0)
        gone = None if still is None else cleared(sight, self.scale, still)
        return [] if gone is None else [*gone, self.stage(sight, "dose")]

    def _dosing(self, sight: Sight, given: Input) -> list[ev.Event]:
        line = self._helper(sight)
        if line is None:
            return []
        if pressed(given, "start over"):
            return [self.stage(sight, "clear")]
        if isinstance(given, TypeValue) and 0 < given.value <= self._cap_left_g(sight, line):
            return self._dosed(sight, line, given.value, ev.Source.STATED)
        if not isinstance(given, Grams) or given.device != self.scale:
            return []
        still = sight.still_g(self.scale, 2.0)
        if still is None:
            return []
        base = sight.state.progress.baseline_g
        if base is None:
            return [] if pan_is_empty(sight, self.scale, still) else [
                ev.PourBegan(at_s=sight.now_s, step=self.step.key, act=self.key, line=line.key,
                             device=self.scale, baseline_g=round(still, 4))
            ]  # fmt: skip
        net = round(still - base, 4)
        low, high = self._dose_band(sight)
        if low <= net <= high:
            return self._dosed(sight, line, net, ev.Source.MEASURED)
        return []

    def _dosed(self, sight: Sight, line: FormulaLine, net: float, source: ev.Source) -> list[ev.Event]:
        low, high = self._dose_band(sight)
        measured = source is ev.Source.MEASURED
        taken = ev.WeightTaken(
            at_s=sight.now_s, step=self.step.key, act=self.key, line=line.key, vessel=self.vessel,
            target_g=round(self._dose_g(sight), 4), low_g=round(low, 4), high_g=round(high, 4), net_g=net,
            gross_g=None, source=source, device=self.scale if measured else "",
            checked=self.scale_checked and measured,
        )  # fmt: skip
        return [taken, self.stage(sight, "stir")]

    # --- what is known -------------------------------------------------------------------------------

    def _live_ph(self, sight: Sight) -> float | None:
        recent = sight.watch.ph.get(self.meter)
        return recent[-1][1] if recent and sight.now_s - recent[-1][0] <= 5.0 else None

    def _at_rest(self, sight: Sight) -> bool:
        recent = sight.watch.ph.get(self.meter, [])
        since = max(sight.state.progress.stage_at_s, sight.now_s - REST_S)
        window = [v for t, v in recent if t >= since]
        long_enough = sight.now_s - sight.state.progress.stage_at_s >= REST_S
        return long_enough and len(window) >= 5 and max(window) - min(window) <= 3 * REST_PH

    def _helper(self, sight: Sight) -> FormulaLine | None:
        ph = sight.state.progress.value
        if ph is None and sight.state.phs:
            ph = sight.state.phs[-1].ph
        if ph is None:
            return None
        key = self.lower_with if ph > self.band.high else self.raise_with
        return next((x for x in sight.plan.procedure.formula.lines if x.key == key), None)

    def _added_g(self, sight: Sight, line: FormulaLine) -> float:
        return sum(w.net_g for w in sight.state.weights.get(line.key, ()))

    def _cap_left_g(self, sight: Sight, line: FormulaLine) -> float:
        cap = (line.cap_percent or 0.0) * sight.plan.batch_g / 100
        return max(cap - self._added_g(sight, line), 0.0)

    def _suggested(self, sight: Sight) -> Suggestion | None:
        line = self._helper(sight)
        if line is None:
            return None
        return suggestion(
            sight, self.step.key, self.vessel, self.band, (line,), self.water_parts,
            LEAST_DIVISIONS * self._division_g(sight), self._cap_left_g(sight, line),
        )  # fmt: skip

    def _division_g(self, sight: Sight) -> float:
        return sight.division_g(self.scale) if self.scale else 0.01

    def _dose_g(self, sight: Sight) -> float:
        found = self._suggested(sight)
        division = self._division_g(sight)
        if found is not None:
            return math.floor(found.mass_g / division + 1e-9) * division
        # An acid or base nobody has constants for: a tenth of what is allowed, and look again.
        line = self._helper(sight)
        if line is None or sight.state.phs == []:
            return 0.0
        cap = self._cap_left_g(sight, line)
        tenth = (line.cap_percent or 0.0) * sight.plan.batch_g / 1000
        return 0.0 if cap < LEAST_DIVISIONS * division else round(min(tenth, cap) / division) * division

    def _dose_band(self, sight: Sight) -> tuple[float, float]:
        dose = self._dose_g(sight)
        division = self._division_g(sight)
        margin = max(DOSE_SHARE * dose, 2 * division)
        return dose - margin, dose + margin

    # --- showing -------------------------------------------------------------------------------------

    def face(self, sight: Sight) -> Face:
        """What this stage wants."""
        stage = sight.state.progress.stage
        if stage == "settle":
            return self._wait_face(
                sight, self.settle_s, "Let the reading settle", Want("ph probe in", vessel=self.vessel)
            )
        if stage == "stir":
            return self._wait_face(sight, STIR_S, "Stir the addition in", Want("stir", vessel=self.vessel))
        if stage == "read":
            return self._read_face(sight)
        if stage == "adjust":
            return self._adjust_face(sight)
        if stage == "clear":
            return Face(f"Clear the {self.scale}.", stage, want=Want("lift", device=self.scale))
        if stage == "dose":
            return self._dose_face(sight)
        diluted = f"Stir it into {self.water_parts:g} parts of purified water. " if self.water_parts else ""
        text = f"Take {self.sample_g:g} g as a sample."
        note = f"{diluted}Let it come to room temperature. It is used up."
        return Face(text, note=note, picture=self._band(None), choices=(Choice("yes", "Sample is ready"),),
                    want=Want("sample", vessel=self.vessel, amount=self.sample_g))  # fmt: skip

    def _band(self, value: float | None) -> BandPicture:
        return BandPicture("pH", value, self.band.low, self.band.high, "pH")

    def _wait_face(self, sight: Sight, total: float, label: str, want: Want) -> Face:
        elapsed = min(sight.now_s - sight.state.progress.stage_at_s, total)
        left = total - elapsed
        return Face(f"{label}.", sight.state.progress.stage, picture=TimerPicture(elapsed, total, label),
                    forecast=Forecast("done", left, left, left), live=(Live("left", left, "s", 0, ev.Source.COMPUTED, ""),), want=want)  # fmt: skip

    def _read_face(self, sight: Sight) -> Face:
        live_ph = self._live_ph(sight) if self.meter else None
        word = "" if live_ph is None else "in band" if self.band.holds(live_ph) else "out of band"
        live = (
            (Live("pH", live_ph, "pH", 2, ev.Source.MEASURED, self.meter, word, self.checked),)
            if self.meter
            else ()
        )
        ask = Ask("pH", "pH", 0.0, 14.0, 2, usual=not self.meter)
        text = "Wait until the pH reading stands still." if self.meter else "Read the pH and type it."
        return Face(
            text, "read", live, self._band(live_ph), ask=ask, want=Want("read ph", vessel=self.vessel)
        )

    def _adjust_face(self, sight: Sight) -> Face:
        ph = sight.state.progress.value or (sight.state.phs[-1].ph if sight.state.phs else 0.0)
        line = self._helper(sight)
        dose = self._dose_g(sight)
        found = self._suggested(sight)
        choices = [Choice("again", "Measure again"), Choice("accept", "Accept it", serious=True, reason=True)]
        text = f"pH {ph:.2f} is outside {self.band.low:g}–{self.band.high:g}."
        note = "The method allows no more to be added."
        if line is not None and dose > 0:
            note = f"Add {dose:.2f} g of {line.name}."
            if found is not None:
                note += f" It should then read {found.ph_low:.2f} to {found.ph_high:.2f} (computed)."
            choices.insert(0, Choice("add", f"Add {dose:.2f} g"))
        elif found is not None and found.hindrance:
            note = f"Nothing is suggested: {found.hindrance}."
        elif line is None:
            note = "The method names nothing that moves it back."
        return Face(
            text, "adjust", picture=self._band(ph), choices=tuple(choices), want=Want("adjust ph"), note=note
        )

    def _dose_face(self, sight: Sight) -> Face:
        line = self._helper(sight)
        assert line is not None
        dose = self._dose_g(sight)
        low, high = self._dose_band(sight)
        name = sight.vessel_name(self.vessel)
        ask = Ask(
            f"mass of {line.name} added", "g", 0.0, self._cap_left_g(sight, line), 2, usual=not self.scale
        )
        base = sight.state.progress.baseline_g
        gross = sight.gross_g(self.scale) if self.scale else None
        if not self.scale:
            return Face(f"Add {dose:.2f} g of {line.name} to the {name} and type what it was.", "dose", ask=ask,
                        want=Want("type", line.key, self.vessel, amount=dose))  # fmt: skip
        net = gross - base if gross is not None and base is not None else None
        live = (Live(line.name, net, "g", 2, ev.Source.MEASURED, self.scale, "", self.scale_checked),)
        picture = VesselPicture("boat", net, dose, low, high, high * 1.3)
        if base is None:
            text = f"Put an empty boat on the {self.scale}."
            return Face(text, "dose", live, picture, ask=ask, want=Want("put on", "boat", "boat", self.scale))
        still = sight.still_g(self.scale, 1.0)
        if still is not None and pan_is_empty(sight, self.scale, still):
            again = Choice("start over", "Begin with an empty boat", serious=True)
            return Face(f"Put the boat back on the {self.scale}.", "dose", live, picture, choices=(again,), ask=ask,
                        want=Want("put back", "boat", "boat", self.scale))  # fmt: skip
        if net is not None and net > high:
            text = f"Take {net - dose:.2f} g out of the boat again. It is waste."
            return Face(
                text,
                "dose",
                live,
                picture,
                ask=ask,
                want=Want("remove", line.key, "boat", self.scale, dose, high),
            )
        text = f"Weigh {dose:.2f} g of {line.name}."
        note = f"Into the boat, then stir it into the {name}."
        return Face(text, "dose", live, picture, note=note, ask=ask,
                    want=Want("pour", line.key, "boat", self.scale, dose, high))  # fmt: skip
