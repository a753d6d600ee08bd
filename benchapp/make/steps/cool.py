"""Cool: stirred until the measured temperature is below a threshold."""

from __future__ import annotations

from dataclasses import dataclass, replace

from benchapp import events as ev
from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context
from benchapp.make.acts.gate import ensure_probe
from benchapp.make.acts.waiting import curve_of, fan_for, forecaster, foretold
from benchapp.make.inputs import Degrees, Input, TypeValue
from benchapp.make.pictures import CoolPicture
from benchapp.make.plan import Plan
from benchapp.make.view_model import ActView, NumberRequest, Want
from benchapp.make.vocabulary import Verb
from procedures.steps import Cool

LOG_EVERY_S = 60.0
#: The threshold counts as passed when the reading stayed below it this long, in seconds.
DWELL_S = 10.0


def acts(step: Cool, plan: Plan) -> tuple[Act, ...]:
    """The probe in the batch, then the wait."""
    devices = tuple(dict.fromkeys(d for d, _ in plan.probes))[:1]
    wait = CoolDown("cool", step, vessel=step.vessel, below_c=step.below_c, not_below_c=step.not_below_c,
                    stir=step.stir, thermometers=devices)  # fmt: skip
    return (*ensure_probe(step, step.vessel, plan), wait)


@dataclass(frozen=True)
class CoolDown(Act):
    """Below the threshold and staying there."""

    vessel: str = ""
    below_c: float = 40.0
    not_below_c: float | None = None
    stir: str = ""
    thermometers: tuple[str, ...] = ()

    @property
    def devices(self) -> tuple[str, ...]:
        """The thermometer."""
        return self.thermometers

    @property
    def waits(self) -> bool:
        """While the thermometer watches."""
        return bool(self.thermometers)

    @property
    def open_end(self) -> str:
        """It cools as fast as it cools."""
        return tr_noop("cooling")

    @property
    def temperatures(self) -> tuple[str, ...]:
        """Its own."""
        return (self.vessel,)

    @property
    def ties(self) -> frozenset[str]:
        """What it is about."""
        return frozenset({self.vessel})

    @property
    def brief(self) -> str:
        """Where to."""
        return tr("Cool below {below_c:g} °C", below_c=self.below_c)

    def cold_enough(self, temp_c: float) -> bool:
        """Whether that is under the threshold; what reads the same as the threshold is not."""
        return Band.of(self.below_c, None).below(temp_c)

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """The gate opens on measured (or typed) temperature only."""
        if isinstance(given, TypeValue):
            logged = self.logged(context, (self.vessel, round(given.value, 2)), source=ev.Source.STATED)
            if self.cold_enough(given.value):
                return [logged, *self._too_far(context, given.value), self.finish(context)]
            return [logged]
        if not isinstance(given, Degrees) or context.state.probes.get(given.probe) != self.vessel:
            return []
        if context.probe_c(given.probe) is None:  # off its curve: the threshold is not passed by it
            context.counts.scratch.pop("below since", None)
            return []
        return self._read(context, given.temp_c)

    def _read(self, context: Context, temp: float) -> list[ev.Event]:
        forecaster(context, self.vessel, "cool", self.below_c).push(context.now_s, temp)
        scratch = context.counts.scratch
        out: list[ev.Event] = []
        if context.now_s - scratch.get("logged", -1e9) >= LOG_EVERY_S:
            scratch["logged"] = context.now_s
            out.append(self.logged(context, (self.vessel, round(temp, 2))))
        if not self.cold_enough(temp):
            scratch.pop("below since", None)
            return out
        since = scratch.setdefault("below since", context.now_s)
        if context.now_s - since < DWELL_S:
            return out
        return [
            self.logged(context, (self.vessel, round(temp, 2))),
            *self._too_far(context, temp),
            self.finish(context),
        ]

    def _too_far(self, context: Context, temp: float) -> list[ev.Event]:
        if not Band.of(self.not_below_c, None).below(temp):
            return []
        text = tr(
            "{vessel_name}: {temp:.1f} °C, not to go below {not_below_c:g} °C here.",
            vessel_name=context.vessel_name(self.vessel),
            temp=temp,
            not_below_c=self.not_below_c,
        )
        return [self.deviation(context, ev.Grade.MINOR, tr_noop("cooled too far"), text)]

    def act_view(self, context: Context) -> ActView:
        """The curve and the threshold."""
        temp = context.temp_c(self.vessel)
        curve = curve_of(context, self.vessel)
        fan = fan_for(context, self.vessel)
        forecast, noticed = foretold(context, self.vessel, tr("below {below_c:g} °C", below_c=self.below_c))
        picture = CoolPicture(
            context.vessel_name(self.vessel), curve, temp, self.below_c, self.not_below_c, fan,
            None if forecast is None else (forecast.early_s, forecast.late_s),
        )  # fmt: skip
        word = (
            tr_noop("no reading")
            if temp is None
            else tr_noop("in band")
            if self.cold_enough(temp)
            else "cooling"
        )
        live = context.live_temp(self.vessel, word)
        not_yet: tuple[str, ...] = ()
        if temp is not None and not self.cold_enough(temp):
            not_yet = (tr("{temp:.1f} °C, has to be below {below_c:g} °C.", temp=temp, below_c=self.below_c),)
            live = replace(live, to_go=exact(temp - self.below_c), lacks=not_yet[0])
        elif temp is None and live.value is not None:
            not_yet = (tr("What it shows counts once the probe has come to rest."),)
        ask = NumberRequest(tr("temperature of the batch"), "°C", 0.0, 110.0, 1, usual=not self.thermometers)
        return ActView(
            tr("Stir until it is below {below_c:g} °C.", below_c=self.below_c),
            note=f"{self.stir}.",
            live=(live,), picture=picture, not_yet=(*not_yet, *noticed), ask=ask, forecast=forecast,
            want=Want(Verb.COOL, vessel=self.vessel, amount=self.below_c),
        )  # fmt: skip
