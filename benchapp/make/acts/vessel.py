"""A vessel comes onto a scale: seen for the first time, known again, or not the one it should be."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts import identity, spill
from benchapp.make.acts.balance import balanced
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.difference import Difference
from benchapp.make.acts.pan import STAND_S, TARE_IS_ON, agreement_g, live_of, pan_is_empty, taking_off
from benchapp.make.acts.typed_twice import doubted_choices, insisted
from benchapp.make.inputs import Grams, Input, TypeValue
from benchapp.make.pictures import BandPicture
from benchapp.make.view_model import ActView, Choice, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb

#: A heated vessel may have lost this share of its contents as steam before its weight is questioned.
STEAM_SHARE = 0.15
#: So little clings to a jug that was poured out, in grams (common practice, no source).
DROPS_G = 10.0
#: A stated empty mass is a rough figure; the weighed one may differ by this share.
ROUGH_SHARE = 0.35


@dataclass(frozen=True)
class VesselOn(Act):
    """Put a vessel on its scale. ``fresh``: empty; otherwise the ledger knows what it should weigh."""

    vessel: str = ""
    device: str = ""
    poured_out: bool = False  # a jug that was used before: what clung to it may be gone
    was_away: bool = False  # in the heat: as heavy as before, it has to be seen to come back

    @property
    def devices(self) -> tuple[str, ...]:
        """The scale."""
        return (self.device,)

    @property
    def brief(self) -> str:
        """What goes where."""
        return tr("Vessel onto the {device}", device=self.device)

    def _expected_g(self, context: Context) -> float | None:
        return context.state.ledger.of(self.vessel).gross_g

    def _in_the_way(self, context: Context) -> str | None:
        standing = context.state.on_scale.get(self.device)
        return standing if standing is not None and standing != self.vessel else None

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Known again by its mass: placed. Else the maker has to say that it is the one."""
        if isinstance(given, TypeValue) and given.value > 0:
            return self._typed(context, given.value)
        if context.progress.stage == Stage.TYPED:
            return self._decided(context, given)
        if context.progress.stage == Stage.MAKE_GOOD:
            return spill.decided(self, context, given)
        if isinstance(given, Grams) and given.device != self.device:
            return []
        gross = context.still_g(self.device, STAND_S)
        if gross is None or identity.is_another(context, self.device, given):
            return []
        away = self._not_there(context, gross)
        if away is not None:
            return away
        found = self._difference(context, gross)
        if found is not None and (
            context.progress.stage == Stage.SPILL or not self._as_steam(context, gross)
        ):
            return spill.answered(found, given)
        if pressed(given, ChoiceKey.SPILLED) and found is not None:
            return spill.answered(found, given)
        problem = self._problem(context, gross)
        if (problem or not self._known_again(context, gross)) and not pressed(given, ChoiceKey.IT_IS):
            return []
        return self._accept(context, gross, problem, ev.Source.MEASURED)

    def _not_there(self, context: Context, gross: float) -> list[ev.Event] | None:
        """What follows while the vessel is not known to stand there; None where something does that may be it."""
        standing = context.state.on_scale.get(self.device)
        if not pan_is_empty(context, self.device, gross, self.vessel):
            waits = self._in_the_way(context) is not None or self._never_left(context, gross)
            return [] if waits else None
        if standing is not None and (standing != self.vessel or self.was_away):
            gone = ev.VesselLifted(at_s=context.now_s, vessel=standing, device=self.device, gross_g=gross)
            return [gone]
        return balanced(self, context, self.device, gross)

    def _never_left(self, context: Context, gross: float) -> bool:
        """As heavy as before it was heated, on a scale that has not shown anything else since: its display may stand."""
        stood = self.was_away and context.state.on_scale.get(self.device) == self.vessel
        return stood and self._known_again(context, gross)

    def _difference(self, context: Context, gross: float) -> Difference | None:
        """How it differs from what the book has of it; None where it is known again, or was never weighed."""
        expected = self._expected_g(context)
        if expected is None or self._known_again(context, gross):
            return None
        return Difference(self, context, self.vessel, self.device, expected, expected, gross)

    def _as_steam(self, context: Context, gross: float) -> bool:
        """Whether what is missing from a heated vessel may have gone as steam."""
        account, expected = context.state.ledger.of(self.vessel), self._expected_g(context) or 0.0
        tolerance = agreement_g(context.division_g(self.device), gross)
        if self._holds_drops(context):
            return (account.empty_g or 0.0) - tolerance <= gross < expected
        return (
            account.heated or self.was_away
        ) and expected - STEAM_SHARE * account.content_g - tolerance <= gross < expected

    def _holds_drops(self, context: Context) -> bool:
        """Whether nothing but what clung to it is in it: that dries, or is wiped out before it is used again."""
        return self.poured_out and context.state.ledger.of(self.vessel).content_g <= DROPS_G

    def _typed(self, context: Context, value: float) -> list[ev.Event]:
        """A typed mass; one that cannot be the vessel's is asked for once more."""
        if not self._problem(context, value):
            return self._accept(context, value, "", ev.Source.STATED)
        asked = self.number_taken(context, tr_noop("typed mass"), value, "g")
        return [asked, self.stage(context, Stage.TYPED)]

    def _decided(self, context: Context, given: Input) -> list[ev.Event]:
        """Whether a typed mass that cannot be the vessel's is so."""
        value = context.progress.value
        if pressed(given, ChoiceKey.TYPE_AGAIN):
            return [self.stage(context, Stage.FIRST)]
        if value is None or not (reason := insisted(given)):
            return []
        text = tr("{problem} Typed. {reason}", problem=self._problem(context, value), reason=reason)
        return [
            self.deviation(context, ev.Grade.MINOR, tr_noop("vessel mass"), text),
            self._placed(context, value, ev.Source.STATED),
            self.finish(context),
        ]

    def _known_again(self, context: Context, gross: float) -> bool:
        """Whether it weighs what the ledger has of it. A rough figure, or steam that left, fits other things as well."""
        expected = self._expected_g(context)
        allowed = agreement_g(context.division_g(self.device), gross)
        return expected is not None and abs(gross - expected) <= allowed

    def _accept(self, context: Context, gross: float, problem: str, source: ev.Source) -> list[ev.Event]:
        """It is the one: what it lacks has gone as steam, whoever says what it weighs."""
        out: list[ev.Event] = []
        if problem:
            out.append(
                self.deviation(
                    context, ev.Grade.MINOR, tr_noop("vessel mass"), problem + tr(" The maker went on.")
                )
            )
        expected = self._expected_g(context)
        lost = (expected or gross) - gross
        tolerance = agreement_g(context.division_g(self.device), gross)
        if expected is not None and lost > tolerance:
            waters = tuple(
                x for x in context.state.ledger.of(self.vessel).contents_g if x in context.plan.water_lines
            )
            out.append(
                ev.WaterLost(
                    at_s=context.now_s, step=self.step.key, vessel=self.vessel, lost_g=round(lost, 3),
                    lines=waters, source=source,
                )
            )  # fmt: skip
        elif source is ev.Source.MEASURED and abs(lost) > context.division_g(self.device) / 2:
            # What another weighing of the same vessel differs by is the scale's, not the next ingredient's.
            out.append(ev.ZeroShifted(at_s=context.now_s, device=self.device, by_g=round(-lost, 4)))
            gross += lost
        return [*out, self._placed(context, gross, source), self.finish(context)]

    def _placed(self, context: Context, gross: float, source: ev.Source) -> ev.Event:
        account = context.state.ledger.of(self.vessel)
        stated = source is ev.Source.STATED
        return ev.VesselPlaced(
            at_s=context.now_s, step=self.step.key, vessel=self.vessel, device="" if stated else self.device,
            gross_g=round(gross + (0.0 if stated else context.zero_g(self.device)), 3),
            empty=account.empty_g is None and not account.contents_g, source=source,
        )  # fmt: skip

    def _problem(self, context: Context, gross: float) -> str:
        """Why this may not be the vessel, "" when it fits."""
        name = context.vessel_name(self.vessel)
        expected = self._expected_g(context)
        if expected is None:
            rough = context.plan.vessel(self.vessel).empty_g
            if rough is not None and abs(gross - rough) > ROUGH_SHARE * rough:
                return tr(
                    "The {name} should weigh about {rough:.0f} g empty, not {gross:.1f} g.",
                    name=name,
                    rough=rough,
                    gross=gross,
                )
            return ""
        if self._known_again(context, gross) or self._as_steam(context, gross):
            return ""
        return tr(
            "The {name} should weigh {expected:.1f} g, not {gross:.1f} g.",
            name=name,
            expected=expected,
            gross=gross,
        )

    def _question(self, context: Context, gross: float) -> tuple[str, str]:
        """What is asked about what stands there, and what would follow."""
        name, expected = context.vessel_name(self.vessel), self._expected_g(context)
        if expected is None:
            rough = context.plan.vessel(self.vessel).empty_g
            said = (
                tr("Its empty mass is not known yet.")
                if rough is None
                else tr("The procedure says about {rough:.0f} g.", rough=rough)
            )
            return tr("Is this the empty, dry {name}?", name=name), said
        if self._holds_drops(context):
            return tr("Is this the {name}?", name=name), tr(
                "Then {expected:.1f} g in it dried or were wiped out.", expected=expected - gross
            )
        return tr("Is this the {name}?", name=name), tr(
            "Then {expected:.1f} g of it have gone as steam.", expected=expected - gross
        )

    def act_view(self, context: Context) -> ActView:
        """Which vessel, and what the scale shows."""
        name = context.vessel_name(self.vessel)
        ask = NumberRequest(tr("gross mass of the {name}", name=name), "g", 0.1, 50_000.0, 2, usual=False)
        if context.progress.stage == Stage.TYPED:
            return self._typed_view(context, name, ask)
        if context.progress.stage == Stage.MAKE_GOOD:
            return spill.remedy_view(context)
        live, still = live_of(context, self.device), context.still_g(self.device, STAND_S)
        text = tr("Put the {name} on the {device}.", name=name, device=self.device)
        if context.state.ledger.of(self.vessel).empty_g is None:
            text = tr("Put the empty, dry {name} on the {device}.", name=name, device=self.device)
        want = Want(Verb.PUT_ON, vessel=self.vessel, device=self.device)
        view = ActView(text, live=(live,), ask=ask, want=want)
        other = self._in_the_way(context)
        if other is not None:
            text, want = taking_off(context, self.device, other)
            return dataclasses.replace(view, instruction=text, want=want)
        if context.watch.tared(self.device):
            return dataclasses.replace(view, not_yet=(tr(TARE_IS_ON),))
        if still is None:
            moves = tr("No reading yet.") if live.value is None else context.unrest(self.device)
            return dataclasses.replace(view, not_yet=(moves,))
        if pan_is_empty(context, self.device, still, self.vessel):
            return dataclasses.replace(view, not_yet=(tr("The pan is empty."),))
        return self._standing_view(context, view, still)

    def _typed_view(self, context: Context, name: str, ask: NumberRequest) -> ActView:
        value = context.progress.value or 0.0
        return ActView(
            tr("{value:g} g for the {name}?", value=value, name=name),
            Stage.TYPED,
            not_yet=(self._problem(context, value),),
            choices=doubted_choices(tr("Type it again")),
            ask=ask,
            want=Want(Verb.TYPE, vessel=self.vessel),
        )

    def _standing_view(self, context: Context, view: ActView, still: float) -> ActView:
        """Something stands there: is it the one?"""
        name = context.vessel_name(self.vessel)
        if self._never_left(context, still):
            why = tr("It weighs what it did before it was heated, and the {device} has not seen it leave.", device=self.device)  # fmt: skip
            text = tr("Take the {name} off the {device}, and put it back.", name=name, device=self.device)
            want = Want(Verb.LIFT, vessel=self.vessel, device=self.device)
            return dataclasses.replace(view, instruction=text, not_yet=(why,), want=want)
        found = self._difference(context, still)
        asked = context.progress.stage == Stage.SPILL or not self._as_steam(context, still)
        if found is not None and asked:
            return dataclasses.replace(spill.asked(found, view.live), ask=view.ask)
        problem = self._problem(context, still)
        if not problem and self._known_again(context, still):
            return view
        if identity.stands_another(context, self.device):
            return identity.take_it_off(view, name, self.vessel, self.device)
        text, why = self._question(context, still)
        choices: tuple[Choice, ...] = identity.is_it(name, serious=bool(problem))
        if found is not None and found.may_be_spilled:
            choices += (Choice(ChoiceKey.SPILLED, tr("Some of it was spilled"), serious=True),)
        fits = self._fits(context, still)
        drawn = not problem and fits is not None and fits.low <= still <= fits.high
        said = () if drawn else (problem or why,)
        return dataclasses.replace(view, instruction=text, not_yet=said, choices=choices, picture=fits)

    def _fits(self, context: Context, gross: float) -> BandPicture | None:
        """Where it lies on what such a vessel weighs; None where nobody has said what that is, or it is not empty."""
        rough = context.plan.vessel(self.vessel).empty_g
        if rough is None or self._expected_g(context) is not None:
            return None
        margin = identity.NEAR_SHARE * rough
        return identity.fits(context.vessel_name(self.vessel), gross, rough - margin, rough + margin)
