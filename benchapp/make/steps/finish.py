"""Finish: the yield against its limits, and the maker's signature."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.foundation.band import Band
from benchapp.make.acts.base import Act, Sight, pressed
from benchapp.make.inputs import Input
from benchapp.make.inputs import Sign as Signature
from benchapp.make.moment import BandPicture, Choice, Face, Live, Want
from benchapp.make.plan import Plan
from procedures.steps import Finish

#: The meaning of the maker's signature at the end (21 CFR 11.50(a)(3)).
MEANING = "made as recorded"


def acts(step: Finish, plan: Plan) -> tuple[Act, ...]:
    """One signature."""
    return (Sign("sign", step, band=step.yield_percent),)


def product_g(sight: Sight) -> float:
    """What was made: the containers, a last short one too; where none were filled, what the last pot holds."""
    bottles = [b.net_g for filled in sight.state.bottles.values() for b in filled]
    if bottles:
        return sum(bottles) + sight.state.short_g
    return max((a.content_g for a in sight.state.ledger.vessels.values()), default=0.0)


@dataclass(frozen=True)
class Sign(Act):
    """Yield and name."""

    band: Band | None = None

    @property
    def brief(self) -> str:
        """Sign."""
        return "Sign the batch"

    def _yield(self, sight: Sight) -> tuple[float, float]:
        grams = product_g(sight)
        return round(grams, 3), round(100 * grams / (sight.state.batch_g or sight.plan.batch_g), 2)

    def take(self, sight: Sight, given: Input) -> list[ev.Event]:
        """The maker's own signature ends the make; a press is enough where nobody is enrolled."""
        started = sight.state.started
        assert started is not None
        by_pin = isinstance(given, Signature) and bool(given.proof) and given.who == started.maker
        if not by_pin and (started.role or not pressed(given, "sign")):
            return []
        grams, percent = self._yield(sight)
        out: list[ev.Event] = []
        if self.band is not None and not self.band.holds(percent):
            text = f"Yield {percent:.1f} %, expected {self.band.low:g} to {self.band.high:g} %."
            out.append(self.deviation(sight, ev.Grade.MINOR, "yield out of limits", text))
        signed = ev.Signed(
            at_s=sight.now_s, step=self.step.key, who=started.maker, meaning=MEANING, role=started.role,
            proof=given.proof if isinstance(given, Signature) else "",
        )  # fmt: skip
        done = ev.MakeFinished(at_s=sight.now_s, product_g=grams, yield_percent=percent)
        closed = ev.StepFinished(at_s=sight.now_s, step=self.step.key)
        return [*out, signed, self.finish(sight), closed, done]

    def face(self, sight: Sight) -> Face:
        """The yield, and a place to sign."""
        grams, percent = self._yield(sight)
        started = sight.state.started
        assert started is not None
        band = self.band or Band(0.0, 100.0)
        lives = (
            Live("product", grams, "g", 1, ev.Source.COMPUTED, ""),
            Live("yield", percent, "%", 1, ev.Source.COMPUTED, ""),
        )
        picture = BandPicture("yield", percent, band.low, band.high, "%")
        text = "Sign that it was made as recorded."
        note = f"{grams:.1f} g of product, {percent:.1f} % of the batch."
        meaning = MEANING if started.role else ""
        choices = (Choice("sign", f"Sign as {started.maker}", serious=True, sign=meaning),)
        return Face(text, note=note, live=lives, picture=picture, choices=choices, want=Want("sign"))
