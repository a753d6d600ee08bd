"""A vessel that was poured out comes back onto the scale: what stayed in it, and so what really went over."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts import identity
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.pan import (
    REPEAT_DIVISIONS,
    STAND_S,
    agreement_g,
    cleared,
    live_of,
    pan_is_empty,
    taking_off,
)
from benchapp.make.acts.pour_line import FAR
from benchapp.make.inputs import Input
from benchapp.make.pictures import BandPicture
from benchapp.make.view_model import ActView, Choice, Want
from benchapp.make.vocabulary import ChoiceKey, Verb

#: So near to its full mass, a vessel came back without having been poured out.
FULL_SHARE = 0.02
#: A display may have crept so far while a vessel stood on it for an hour, in grams (common practice, no source).
DRIFT_G = 0.3
#: More than this share left in a scraped vessel wants another scrape, whatever is in it (common practice, no source).
LEFT_SHARE = 0.05


@dataclass(frozen=True)
class Emptied(Act):
    """Weigh a vessel that was poured out: what stayed in it, and so what really went over."""

    vessel: str = ""
    into: str = ""
    device: str = ""

    @property
    def devices(self) -> tuple[str, ...]:
        """The scale, where there is one."""
        return (self.device,) if self.device else ()

    @property
    def brief(self) -> str:
        """What for."""
        return tr("Weigh the emptied vessel")

    def begin(self, context: Context) -> list[ev.Event]:
        """Without a scale, or a known empty mass, everything is taken to have gone over."""
        if self.device and context.state.ledger.of(self.vessel).empty_g is not None:
            return []
        return [self._moved(context, 0.0, ev.Source.COMPUTED), self.finish(context)]

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Still and no lighter than the empty vessel, and somebody says that it is the one."""
        account = context.state.ledger.of(self.vessel)
        if pressed(given, ChoiceKey.NOT_WEIGHED):
            note = self.deviation(
                context, ev.Grade.NOTE, tr_noop("not weighed"),
                tr("The emptied {vessel_name} was not weighed; all of it is taken as poured.", vessel_name=context.vessel_name(self.vessel)),
            )  # fmt: skip
            return [note, self._moved(context, 0.0, ev.Source.COMPUTED), self.finish(context)]
        gross = context.still_g(self.device, STAND_S) if self.device else None
        if gross is None or account.empty_g is None or identity.is_another(context, self.device, given):
            return []
        gone = cleared(self, context, self.device, gross)
        if gone is not None or not self._plausible(context, gross):
            return gone or []
        if self._in_the_way(context, gross) is not None:
            return []
        left = max(gross - account.empty_g, 0.0)
        much = self._too_much(context, left)
        if not pressed(given, ChoiceKey.THAT_IS_ALL if much else ChoiceKey.IT_IS):
            return []  # what else weighs as much is not known by its weight
        placed = ev.VesselPlaced(
            at_s=context.now_s, step=self.step.key, vessel=self.vessel, device=self.device,
            gross_g=round(gross + context.zero_g(self.device), 3), empty=False, source=ev.Source.MEASURED,
        )  # fmt: skip
        noted: list[ev.Event] = (
            [self.deviation(context, self._grade(context, left), tr_noop("left in vessel"), much)]
            if much
            else []
        )
        return [*noted, placed, self._moved(context, left, ev.Source.MEASURED), self.finish(context)]

    def _left_there(self, context: Context, gross: float) -> str | None:
        """Another vessel that stood on the scale last, and of which the ledger has what the scale shows."""
        standing = context.state.on_scale.get(self.device)
        known = None if standing is None else context.state.ledger.of(standing).gross_g
        if known is None or standing == self.vessel:
            return None
        allowed = max(agreement_g(context.division_g(self.device), gross), DRIFT_G)
        return standing if abs(gross - known) <= allowed else None

    def _in_the_way(self, context: Context, gross: float) -> str | None:
        """The same where it is surely not the emptied one: two empty boats may well weigh as much, and are asked about."""
        left_g = gross - (context.state.ledger.of(self.vessel).empty_g or 0.0)
        return self._left_there(context, gross) if self._too_much(context, left_g) else None

    def _too_much(self, context: Context, left: float) -> str:
        """A sentence where more stayed behind than the lines in it may lack, "" otherwise."""
        account = context.state.ledger.of(self.vessel)
        if left <= self._may_stay_g(context):
            return ""
        share = left / account.content_g if account.content_g else 1.0
        lacking = [
            context.plan.line_name(k) for k, times in self._lacking(context, share).items() if times > 1.0
        ]
        of = tr(", too much for {names}", names=", ".join(lacking)) if lacking else ""
        name = context.vessel_name(self.vessel)
        return tr(
            "{left:.2f} g, {share:.1f} % of what was weighed, stayed in the {name}{of}.",
            left=left,
            share=100 * share,
            name=name,
            of=of,
        )

    def _may_stay_g(self, context: Context) -> float:
        """So much may stay in it, in grams: what no line in it lacks, and no less than two weighings of one vessel differ by."""
        whole_g = context.state.ledger.of(self.vessel).content_g
        most = max(self._lacking(context, 1.0).values(), default=0.0)
        share = min(LEFT_SHARE, 1.0 / most) if most > 0 else LEFT_SHARE
        return max(share * whole_g, REPEAT_DIVISIONS * context.division_g(self.device))

    def _lacking(self, context: Context, share: float) -> dict[str, float]:
        """How many times its tolerance each line in it would lack, if that share of all stayed behind."""
        held = context.state.ledger.of(self.vessel).contents_g
        margins = {
            k: target.grams - target.band.low
            for k in held
            if (w := context.plan.weighings.get(k)) is not None
            for target in (context.state.revised.get(k, w.target),)
        }
        return {k: share * held[k] / margin for k, margin in margins.items() if margin > 0}

    def _grade(self, context: Context, left: float) -> ev.Grade:
        """Major where a line lacks far more than it may."""
        share = left / max(context.state.ledger.of(self.vessel).content_g, left)
        worst = max(self._lacking(context, share).values(), default=0.0)
        return ev.Grade.MAJOR if worst > FAR else ev.Grade.MINOR

    def _plausible(self, context: Context, gross: float) -> bool:
        account = context.state.ledger.of(self.vessel)
        empty = account.empty_g or 0.0
        tolerance = agreement_g(context.division_g(self.device), gross)
        return empty - tolerance <= gross <= empty + account.content_g + tolerance

    def _moved(self, context: Context, left: float, source: ev.Source) -> ev.Event:
        account = context.state.ledger.of(self.vessel)
        content = account.content_g
        left = min(left, content)
        taken = [w for line in account.contents_g for w in context.state.weights.get(line, ())]
        if any(w.source is not ev.Source.MEASURED for w in taken):
            source = ev.Source.COMPUTED  # no better known than what somebody typed of it
        return ev.MassMoved(
            at_s=context.now_s, step=self.step.key, origin=self.vessel, into=self.into,
            mass_g=round(content - left, 3), left_g=round(left, 3), source=source,
        )  # fmt: skip

    def act_view(self, context: Context) -> ActView:
        """Back onto the scale."""
        name = context.vessel_name(self.vessel)
        still = context.still_g(self.device, STAND_S)
        text, note = (
            tr("Put the emptied {name} on the {device}.", name=name, device=self.device),
            tr("To see what stayed in it."),
        )
        want, not_yet = Want(Verb.PUT_ON, vessel=self.vessel, device=self.device), ""
        choices: tuple[Choice, ...] = (Choice(ChoiceKey.NOT_WEIGHED, tr("Do not weigh it"), serious=True),)
        other, picture = None if still is None else self._in_the_way(context, still), None
        if other is not None:
            text, want = taking_off(context, self.device, other)
        elif still is not None and not pan_is_empty(context, self.device, still):
            want, not_yet, said = self._standing(context, still, want)
            choices = (*said, *choices)
            if any(c.key == ChoiceKey.IT_IS for c in said):
                text, note = tr("Is this the emptied {name}?", name=name), ""
                choices = said  # it is weighed as it stands there
                picture = self._fits(context, still)
        view = ActView(
            text,
            note=note,
            live=(live_of(context, self.device),),
            picture=picture,
            not_yet=(not_yet,) if not_yet else (),
            choices=choices,
            want=want,
        )
        another = picture is not None and identity.stands_another(context, self.device)
        return identity.take_it_off(view, name, self.vessel, self.device) if another else view

    def _fits(self, context: Context, still: float) -> BandPicture:
        """Where it lies between empty and what may stay in it."""
        empty = context.state.ledger.of(self.vessel).empty_g or 0.0
        within = agreement_g(context.division_g(self.device), still)
        high = empty + max(self._may_stay_g(context), within)
        return identity.fits(context.vessel_name(self.vessel), still, empty - within, high)

    def _standing(self, context: Context, still: float, want: Want) -> tuple[Want, str, tuple[Choice, ...]]:
        """What stands there: what is to be done, why it is not taken by itself, and what may be said."""
        name, account = context.vessel_name(self.vessel), context.state.ledger.of(self.vessel)
        empty = account.empty_g or 0.0
        pour_out = Want(Verb.TRANSFER, self.vessel, self.into)
        if not self._plausible(context, still):
            full = empty + account.content_g
            as_full = abs(still - full) <= FULL_SHARE * full  # it came back as full as it went
            why = tr(
                "The emptied {name} should weigh a little over {empty:.1f} g; the scale shows {still:.1f} g.",
                name=name,
                empty=empty,
                still=still,
            )
            return pour_out if as_full else want, why, ()
        much = self._too_much(context, still - empty)
        if much:
            said = Choice(ChoiceKey.THAT_IS_ALL, tr("That is all I can get"), serious=True)
            return pour_out, tr("{much} Scrape it out once more.", much=much), (said,)
        decimals = context.plan.decimals[self.device]
        why = tr(
            "Only {left:.{decimals}f} g stayed in it (empty {empty:.{decimals}f} g).",
            empty=empty,
            left=max(still - empty, 0.0),
            decimals=decimals,
        )
        other = self._left_there(context, still)
        if other is not None:
            why = tr(
                "The {vessel_name} weighs about as much: if it still stands there, take it off.",
                vessel_name=context.vessel_name(other),
            )
        return want, why, identity.is_it(name)
