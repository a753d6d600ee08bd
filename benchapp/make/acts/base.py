"""What every act can do, and what it may look at."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact, to_division
from benchapp.make.filters import ActCounters, SensorFilters
from benchapp.make.inputs import Input, Press
from benchapp.make.plan import Plan
from benchapp.make.state import Progress, State
from benchapp.make.view_model import ActView, LiveValue
from benchapp.make.vocabulary import ChoiceKey, Stage
from procedures.steps import Step

SWAYS = tr_noop("It sways: shield the pan from the draught, and let nothing touch it.")


@dataclass
class Context:
    """What an act may look at: the plan, the fold, the live filters and the time in seconds; and of these what is
    its own, how far it has come and what it counts."""

    plan: Plan
    state: State
    watch: SensorFilters
    now_s: float
    progress: Progress
    counts: ActCounters

    @property
    def attended_s(self) -> float:
        """For how long somebody was there since the act came to where it stands, in seconds: hands do nothing while the make
        is on hold or the program away."""
        return exact(self.state.times.attended_s(self.now_s) - self.progress.attended_s)

    @property
    def restarted(self) -> bool:
        """Whether the program was away since the act came to where it stands: then nobody knows what hands did meanwhile."""
        resumed_at_s = self.state.resumed_at_s
        return resumed_at_s is not None and resumed_at_s >= self.progress.stage_at_s

    def zero_g(self, device: str) -> float:
        """What that scale shows with an empty pan."""
        return self.state.zero_g.get(device, 0.0)

    def gross_g(self, device: str) -> float | None:
        """The live gross mass on a scale, its zero taken off; None where nothing fresh is known."""
        value = self.watch.scale_g(device, self.now_s)
        return None if value is None else value - self.zero_g(device)

    def still_g(self, device: str, for_s: float = 0.0) -> float | None:
        """The gross mass at rest for at least ``for_s`` seconds; None while it moves."""
        scale = self.watch.scales.get(device)
        if scale is None or not scale.motion.still or self.gross_g(device) is None or scale.tared:
            return None
        motion = scale.motion
        if exact(motion.latest_at_s - motion.still_since_s) < for_s:
            return None
        return exact(to_division(motion.rest_g, self.division_g(device)) - self.zero_g(device))

    def rested_g(self, device: str, for_s: float) -> float | None:
        """The same for what goes on by itself: a lull in a draught is no rest until it has lasted longer."""
        scale = self.watch.scales.get(device)
        return None if scale is None or scale.motion.rested_s < for_s else self.still_g(device, for_s)

    def sways(self, device: str) -> bool:
        """Whether the scale goes to and fro by a few divisions and does not come to rest."""
        scale = self.watch.scales.get(device)
        return scale is not None and scale.motion.sways

    def unrest(self, device: str) -> str:
        """Why a scale that moves is not at rest."""
        return SWAYS if self.sways(device) else tr("The scale is still moving.")

    def since_g(self, device: str) -> float | None:
        """The gross mass at which the scale came to rest after something surely moved it; None where nothing is known."""
        scale = self.watch.scales.get(device)
        since_g = None if scale is None else scale.creep.since_g
        if since_g is None:
            return None
        return exact(to_division(since_g, self.division_g(device)) - self.zero_g(device))

    def base_g(self, device: str) -> float:
        """The gross mass at which the pour on that scale began, in grams."""
        return (self.progress.baseline_g or 0.0) - self.zero_g(device)

    def net_g(self, device: str, gross_g: float) -> float:
        """What lies above the pour's beginning at a gross mass, in whole divisions of the scale; grams."""
        return to_division(gross_g - self.base_g(device), self.division_g(device))

    def last_gross_g(self, device: str) -> tuple[float, float] | None:
        """Between which two gross masses the scale stood last: at rest, and at the most within the last seconds."""
        scale = self.watch.scales.get(device)
        if scale is None or scale.motion.latest_g is None:
            return None
        least, most = scale.last_g
        return least - self.zero_g(device), most - self.zero_g(device)

    def division_g(self, device: str) -> float:
        """The scale's division in grams."""
        return self.plan.divisions_g[device]

    def vessel_name(self, key: str) -> str:
        """What the maker calls that vessel."""
        vessel = self.plan.procedure.vessels.get(key)
        return vessel.name if vessel else key

    def probe_in(self, vessel: str) -> str | None:
        """The probe that stands in a vessel."""
        return next((p for p, v in self.state.probes.items() if v == vessel), None)

    def probe_c(self, probe: str) -> float | None:
        """A probe's reading in °C, where it is fresh and follows its vessel: what counts."""
        seen = self.watch.probes.get(probe)
        unsure = seen is not None and (not seen.counts or seen.put_in_s is None)  # silent since it was moved
        return None if unsure or probe in self.state.probe_doubts else self.shown_c(probe)

    def shown_c(self, probe: str) -> float | None:
        """What a probe shows in °C, where it is fresh, whether or not it counts."""
        return self.watch.temp_c(probe, self.now_s, self.period_s(self.plan.thermometer_of(probe)))

    def period_s(self, device: str) -> float:
        """How often that device speaks, in seconds; 1 for one that the plan does not have."""
        return self.plan.periods_s.get(device, 1.0)

    def temp_c(self, vessel: str) -> float | None:
        """The vessel's temperature as a fresh probe reading; with one probe for two, the last one for 5 min, and so
        with what was stated while its probe is in doubt or gives nothing. What was so before the program was away is not
        known to be so: a computer without power may have lost its clock, and then nobody knows for how long."""
        probe, logged = self.probe_in(vessel), self.state.temps_c.get(vessel)
        if probe is not None:
            logged = self.state.stated_c.get(vessel)
            live, gone_s = self.probe_c(probe), self._gone_since_s(probe)
            if live is not None or gone_s is None or logged is None or logged[1] < gone_s:
                return live
        since_s = max(self.now_s - 300.0, self.state.resumed_at_s or 0.0)
        return logged[0] if logged and logged[1] >= since_s else None

    def _gone_since_s(self, probe: str) -> float | None:
        """Since when a probe is in doubt, or gives nothing; None where it reads, though it may not count yet."""
        doubt, seen = self.state.probe_doubts.get(probe), self.watch.probes.get(probe)
        if doubt is not None:
            return doubt.at_s
        heard_s = self.watch.heard_at_s.get(self.plan.thermometer_of(probe), 0.0)
        return None if self.shown_c(probe) is not None else heard_s if seen is None else seen.at_s

    def live_temp(self, vessel: str, word: str = "") -> LiveValue:
        """The vessel's temperature as it stands now, by the channel that reads it; a probe's that does not count too."""
        temp, probe = self.temp_c(vessel), self.probe_in(vessel) or ""
        device, shown = self.plan.thermometer_of(probe), self.shown_c(probe)
        doubted, logged = probe in self.state.probe_doubts, self.state.temps_c.get(vessel)
        unread = doubted or (shown is None and logged == self.state.stated_c.get(vessel))
        source = ev.Source.STATED if unread and temp is not None else ev.Source.MEASURED
        if temp is None and (shown is not None or doubted):
            temp, word = shown, tr("in doubt") if doubted else ""  # it is read, and stands to nothing
        return LiveValue(self.vessel_name(vessel), temp, "°C", 1, source, device, word, channel=probe)


@dataclass(frozen=True)
class Act:
    """One act of a step. ``key`` is unique in the step; ``devices`` are those it cannot go on without."""

    key: str
    step: Step

    @property
    def devices(self) -> tuple[str, ...]:
        """Names of the devices whose loss interrupts this act."""
        return ()

    @property
    def uses(self) -> frozenset[str]:
        """The devices it listens to, whether or not it can go on without them."""
        return frozenset(self.devices)

    @property
    def waits(self) -> bool:
        """Whether nothing is to be done but wait, so that hands are free for something else."""
        return False

    def begun(self, context: Context) -> bool:
        """Whether what it waits for is on its way: until then its own order comes first, and nothing else is offered."""
        return True

    @property
    def sure_s(self) -> float:
        """The waiting it surely takes, in seconds."""
        return 0.0

    @property
    def open_end(self) -> str:
        """What it waits for that has no set time, in a word to be looked up; "" where its end is known."""
        return ""

    @property
    def ties(self) -> frozenset[str]:
        """The vessels a wait is about: nothing else is done with them meanwhile."""
        return frozenset()

    def calls(self, context: Context) -> str:
        """Why a wait wants its maker now, in one sentence; "" while all is well."""
        return ""

    @property
    def temperatures(self) -> tuple[str, ...]:
        """The vessels whose temperature it goes by."""
        return ()

    @property
    def brief(self) -> str:
        """A few words for "next"."""
        return self.step.title

    def begin(self, context: Context) -> list[ev.Event]:
        """Events that follow at once from beginning."""
        return []

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """The events this input brings about."""
        raise NotImplementedError

    def unfinished(self, context: Context) -> list[ev.Event]:
        """What is done of it, where its step is left out or the make given up in the middle."""
        return []

    def noticed(self, context: Context, given: Input) -> list[ev.Event]:
        """The events an input brings about while nothing goes on: what leaves its scale meanwhile has left it."""
        return []

    def act_view(self, context: Context) -> ActView:
        """What is shown."""
        raise NotImplementedError

    # --- small words for the modules -------------------------------------------------------------

    def finish(self, context: Context) -> ev.Event:
        """This act is done."""
        return ev.ActFinished(at_s=context.now_s, step=self.step.key, act=self.key)

    def stage(self, context: Context, stage: Stage, lot: str = "") -> ev.Event:
        """This act moves on inside itself; ``lot`` is what the stage is about, where one was refused."""
        text = f"{stage}:{lot}" if lot else str(stage)
        return ev.StageReached(at_s=context.now_s, step=self.step.key, act=self.key, stage=text)

    def confirm(self, context: Context, text: str) -> ev.Event:
        """The maker said yes to a sentence."""
        return ev.Confirmed(at_s=context.now_s, step=self.step.key, act=self.key, text=text)

    def number_taken(
        self, context: Context, what: str, value: float, unit: str, source: ev.Source = ev.Source.STATED
    ) -> ev.Event:
        """A value was taken down."""
        return ev.NumberTaken(
            at_s=context.now_s,
            step=self.step.key,
            act=self.key,
            what=what,
            value=value,
            unit=unit,
            source=source,
        )

    def logged(
        self, context: Context, *temps_c: tuple[str, float], source: ev.Source = ev.Source.MEASURED
    ) -> ev.Event:
        """The temperatures of these vessels, in °C."""
        return ev.TemperaturesLogged(at_s=context.now_s, step=self.step.key, temps_c=temps_c, source=source)

    def pour_began(self, context: Context, line: str, device: str, gross_g: float) -> ev.Event:
        """That line goes in from this gross mass on."""
        return ev.PourBegan(
            at_s=context.now_s, step=self.step.key, act=self.key, line=line, device=device,
            baseline_g=round(gross_g + context.zero_g(device), 4),
        )  # fmt: skip

    def deviation(self, context: Context, grade: ev.Grade, kind: str, text: str) -> ev.Event:
        """A deviation; the core numbers it."""
        return ev.DeviationNoted(
            at_s=context.now_s, number=0, grade=grade, kind=kind, step=self.step.key, text=text
        )


def pressed(given: Input, *choices: ChoiceKey) -> bool:
    """Whether this input is a press of one of these choices."""
    return isinstance(given, Press) and given.key in choices
