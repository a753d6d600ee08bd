"""What goes in slowly or part by part: led by the scale where the vessel stands on it, else by the clock."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from benchapp import events as ev
from benchapp.events.grades import ADDED_TOO_FAST, grade_of
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.gate import Gate
from benchapp.make.acts.pour import Pour
from benchapp.make.acts.taking import DWELL_S
from benchapp.make.inputs import Grams, Input, Press
from benchapp.make.pictures import TimerPicture
from benchapp.make.view_model import ActView, Choice, LiveValue, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.phrases import duration

#: In less than this share of its time, something was added far too fast (common practice, no source).
FAST_SHARE = 0.5
#: It is not too fast any more below so many times its pace; within so many divisions and seconds of the first drop nothing
#: is said (common practice, no source).
CALM_TIMES, NOISE_DIVISIONS, BEGUN_S = 1.5, 3.0, 5.0


def too_fast(act: Act, context: Context, what: str, took_s: float, during_s: float) -> list[ev.Event]:
    """A deviation where it went in in far less than its time."""
    if exact(took_s) >= FAST_SHARE * during_s:
        return []
    text = tr(
        "{what}: in after {took_s:.0f} s, {duration} were wanted.",
        what=what,
        took_s=took_s,
        duration=duration(during_s),
    )
    return [act.deviation(context, grade_of(ADDED_TOO_FAST), ADDED_TOO_FAST, text)]


@dataclass(frozen=True)
class SlowGate(Gate):
    """One vessel poured into another over ``during_s`` seconds, by the clock; it begins while the gate is open."""

    during_s: float = 0.0

    @property
    def sure_s(self) -> float:
        """As long as it pours."""
        return self.during_s

    def open_within(self, context: Context, seconds: float) -> bool:
        """What was right when it began counts as long as it is poured."""
        return context.progress.stage == Stage.RUNNING or super().open_within(context, seconds)

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Begun, with a reason where the gate is shut; and all in."""
        if context.progress.stage == Stage.RUNNING:
            if not pressed(given, ChoiceKey.YES):
                return []
            took = context.attended_s
            fast = too_fast(self, context, self.text.rstrip("."), took, self.during_s)
            fast = [] if context.restarted else fast  # it may have been poured meanwhile
            return [*fast, self.confirm(context, f"{self.text} ({took:.0f} s)"), self.finish(context)]
        begun = self.stage(context, Stage.RUNNING)
        if pressed(given, ChoiceKey.START):
            return [] if self.why_not(context) else [*self._log(context), begun]
        out = super().take(context, given)
        if isinstance(given, Press) and given.key == ChoiceKey.ANYWAY:
            kept = [e for e in out if not isinstance(e, ev.ActFinished | ev.Confirmed)]
            return [*kept, begun] if out else []
        return [] if pressed(given, ChoiceKey.YES) else out

    def act_view(self, context: Context) -> ActView:
        """The gate; once it runs, the clock and how much should be in by now."""
        view = super().act_view(context)
        over = tr("{rstrip} over {duration}.", rstrip=self.text.rstrip("."), duration=duration(self.during_s))
        if context.progress.stage != Stage.RUNNING:
            choices = tuple(
                Choice(ChoiceKey.START, tr("I begin to pour")) if c.key == ChoiceKey.YES else c
                for c in view.choices
            )
            want = (
                view.want
                if self.why_not(context)
                else Want(Verb.START, Verb.TRANSFER, self.want.vessel if self.want else "")
            )
            return dataclasses.replace(view, instruction=over, choices=choices, want=want)
        elapsed = context.attended_s
        left, content = max(self.during_s - elapsed, 0.0), context.state.ledger.of(self.poured).content_g
        share = min(elapsed / self.during_s, 1.0)
        note = (
            tr("About {share:.0f} % of it should be in by now.", share=100 * share)
            if left
            else tr("Its time is over: pour the rest in.")
        )
        return ActView(
            over, Stage.RUNNING, live=(LiveValue("left", left, "s", 0, ev.Source.COMPUTED, ""),),
            picture=TimerPicture(min(elapsed, self.during_s), self.during_s, self.text), note=note, move=tr("Pour slowly"),
            choices=(Choice(ChoiceKey.YES, self.yes),),
            want=Want(Verb.TRANSFER, self.poured, self.vessels[0], amount=content, pace_g_s=content / self.during_s),
        )  # fmt: skip


@dataclass(frozen=True)
class PartGate(Gate):
    """One of ``of`` equal parts of a vessel; the last is what is left."""

    of: int = 1

    def act_view(self, context: Context) -> ActView:
        """The gate, with how much the part is."""
        view = super().act_view(context)
        part_g = context.state.ledger.of(self.poured).content_g / self.of
        if view.want is None or view.want.verb != Verb.TRANSFER:
            return view
        about = tr("About {part_g:.0f} g.", part_g=part_g) if part_g >= 1.0 else ""
        return dataclasses.replace(view, want=dataclasses.replace(view.want, amount=part_g), note=about)


@dataclass(frozen=True)
class SlowPour(Pour):
    """A line weighed straight into a vessel on the scale over ``during_s`` seconds: the rate stands beside the mass."""

    during_s: float = 0.0

    def _gone_s(self, context: Context) -> float | None:
        """How long ago the first of it fell, as far as somebody watched, without the time nobody was there; None before."""
        fell_s = context.counts.lasting.get("first drop")
        return None if fell_s is None else context.state.times.attended_s(context.now_s) - fell_s

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """As any pour; taken, it is held against its time."""
        if isinstance(given, Grams) and given.device == self.device:
            self._watch(context)
        out = super().take(context, given)
        gone_s = self._gone_s(context)
        if gone_s is None or not any(isinstance(e, ev.WeightTaken) and e.device for e in out):
            return out
        return [*too_fast(self, context, self.name(context), gone_s - DWELL_S, self.during_s), *out]

    def _watch(self, context: Context) -> None:
        """When the first of it fell, and whether it goes too fast."""
        gross, noise_g = context.gross_g(self.device), NOISE_DIVISIONS * context.division_g(self.device)
        if context.progress.baseline_g is None or gross is None:
            return
        net, counts = context.net_g(self.device, gross), context.counts.lasting
        if net <= noise_g:
            return
        counts.setdefault("first drop", context.state.times.attended_s(context.now_s))
        gone, wanted = self._gone_s(context) or 0.0, self.target(context).grams / self.during_s
        if gone >= BEGUN_S and (net - noise_g) / gone > wanted / FAST_SHARE:
            counts["fast"] = 1.0
        elif gone >= BEGUN_S and net / gone < CALM_TIMES * wanted:
            counts.pop("fast", None)

    def act_view(self, context: Context) -> ActView:
        """The pour, its rate so far against the wanted one, and that it is too fast."""
        view, target = super().act_view(context), self.target(context).grams
        if view.want is None or view.want.verb != Verb.POUR or not view.live:
            return view
        wanted, net, gone = target / self.during_s, view.live[0].value or 0.0, self._gone_s(context) or 0.0
        rate = net / gone if gone >= BEGUN_S else None
        fast = "fast" in context.counts.lasting
        word = "waiting" if rate is None else "above" if fast else tr_noop("in band")
        live = LiveValue(
            tr_noop("rate"), None if rate is None else 60 * rate, "g/min", 1, ev.Source.COMPUTED, "", word
        )
        hurry = fast and not view.halts
        return dataclasses.replace(
            view, instruction=tr("Slower. {instruction}", instruction=view.instruction) if hurry else view.instruction, live=(dataclasses.replace(view.live[0], name="weighed"), live),
            move="Slower" if hurry else view.move, want=dataclasses.replace(view.want, pace_g_s=wanted),
            note=tr("Over {duration}: {wanted:.3g} g a minute.", duration=duration(self.during_s), wanted=60 * wanted),
        )  # fmt: skip
