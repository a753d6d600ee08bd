"""Finish: the yield against its limits, and the maker's signature."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.events.grades import ABOVE_CEILING, MORE_THAN_WENT_IN, grade_of
from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.inputs import Input
from benchapp.make.inputs import Sign as Signature
from benchapp.make.law_now import passed_now
from benchapp.make.plan import Plan
from benchapp.make.steps.finish_picture import batch_facts, batch_picture
from benchapp.make.view_model import ActView, Choice, LiveValue, Want
from benchapp.make.vocabulary import ChoiceKey, Verb
from procedures.steps import Finish

#: The meaning of the maker's signature at the end (21 CFR 11.50(a)(3)).
MEANING = tr_noop("made as recorded")
#: So much more than went in is no matter of two scales' divisions (common practice, no source).
SURELY_MORE = 0.01


def acts(step: Finish, plan: Plan) -> tuple[Act, ...]:
    """One signature."""
    return (SignOff("sign", step, band=step.yield_percent),)


def product_g(context: Context) -> float:
    """What was made: the containers, a last short one too; where none were filled, what the last pot holds."""
    bottles = [b.net_g for filled in context.state.bottles.values() for b in filled]
    if bottles:
        return sum(bottles) + context.state.short_g
    return max((a.content_g for a in context.state.ledger.vessels.values()), default=0.0)


@dataclass(frozen=True)
class SignOff(Act):
    """Yield and name."""

    band: Band | None = None

    @property
    def brief(self) -> str:
        """Sign."""
        return tr("Sign the batch")

    def _yield(self, context: Context) -> tuple[float, float]:
        grams = product_g(context)
        return round(grams, 3), round(100 * grams / (context.state.batch_g or context.plan.batch_g), 2)

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """The maker's own signature ends the make; a press is enough where nobody is enrolled."""
        started = context.state.started
        assert started is not None
        by_pin = isinstance(given, Signature) and bool(given.proof) and given.who == started.maker
        if not by_pin and (started.role or not pressed(given, ChoiceKey.SIGN)):
            return []
        grams, percent = self._yield(context)
        out: list[ev.Event] = []
        if self.band is not None and not self.band.holds(percent):
            text = tr(
                "Yield {percent:.1f} %, expected {low:g} to {high:g} %.",
                percent=percent,
                low=self.band.low,
                high=self.band.high,
            )
            out.append(self.deviation(context, ev.Grade.MINOR, tr_noop("yield out of limits"), text))
        went_in = sum(context.state.weighed_g.values())
        if grams > went_in * (1 + SURELY_MORE):
            text = tr(
                "{grams:.1f} g came out, and {went_in:.1f} g went in. Something was weighed wrong, "
                "or not at all.",
                grams=grams,
                went_in=went_in,
            )
            out.append(self.deviation(context, grade_of(MORE_THAN_WENT_IN), MORE_THAN_WENT_IN, text))
        for sentence in passed_now(context, context.state.weighed_g):
            out.append(self.deviation(context, grade_of(ABOVE_CEILING), ABOVE_CEILING, sentence))
        signed = ev.Signed(
            at_s=context.now_s, step=self.step.key, who=started.maker, meaning=MEANING, role=started.role,
            proof=given.proof if isinstance(given, Signature) else "",
        )  # fmt: skip
        done = ev.MakeFinished(at_s=context.now_s, product_g=grams, yield_percent=percent)
        closed = ev.StepFinished(at_s=context.now_s, step=self.step.key)
        return [*out, signed, self.finish(context), closed, done]

    def act_view(self, context: Context) -> ActView:
        """The yield, and a place to sign."""
        grams, percent = self._yield(context)
        started = context.state.started
        assert started is not None
        band = self.band or Band(0.0, 100.0)
        lives = (
            LiveValue("product", grams, "g", 1, ev.Source.COMPUTED, ""),
            LiveValue("yield", percent, "%", 1, ev.Source.COMPUTED, "", band.word(percent)),
        )
        picture = batch_picture(context, percent, band)
        meaning, maker = MEANING if started.role else "", started.maker
        label = tr("Sign as {maker}, {role}", maker=maker, role=translated(started.role or "maker"))
        sign = Choice(ChoiceKey.SIGN, label, serious=True, sign=meaning, signer=maker)
        return ActView(
            tr("Check this, then sign."),
            live=lives,
            picture=picture,
            choices=(sign,),
            want=Want(Verb.SIGN),
            note=batch_facts(context),
        )
