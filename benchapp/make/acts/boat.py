"""So much weighed into a boat on the scale: when it is taken, and how it stands on the glass."""

from __future__ import annotations

from dataclasses import dataclass, replace

from benchapp import events as ev
from benchapp.foundation.band import Target
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Context
from benchapp.make.acts.begun import Begun
from benchapp.make.acts.pan import pan_is_empty
from benchapp.make.acts.taking import DWELL_S, Taking
from benchapp.make.inputs import Grams, Input
from benchapp.make.pictures import VesselPicture
from benchapp.make.view_model import ActView, Choice, LiveValue, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Verb

#: Where the drawing of a boat ends, in times its band's upper limit.
TOP_SHARE = 1.3


@dataclass(frozen=True)
class BoatWeighing:
    """``target`` weighed into the vessel ``boat`` on the scale ``device`` ("" by hand: then nothing rests anywhere)."""

    context: Context
    device: str
    target: Target
    boat: str

    @property
    def begun(self) -> bool:
        """Whether the boat stood on the scale before anything went in."""
        return self.context.progress.baseline_g is not None

    @property
    def net_g(self) -> float | None:
        """What is in it now; None before it has begun, or where nothing fresh is known."""
        gross = self.context.gross_g(self.device) if self.begun else None
        return None if gross is None else self.context.net_g(self.device, gross)

    @property
    def taking(self) -> Taking:
        """How it is taken as it rests: by itself within its band."""
        return Taking(self.context, self.device, self._fits)

    def _fits(self, gross_g: float) -> bool:
        return self.begun and self.target.band.holds(self.context.net_g(self.device, gross_g))

    @property
    def stood(self) -> Begun:
        """What became of it beside the scale."""
        return Begun(self.context, self.device, tr("the boat"), self.target.band.high)

    def rested_g(self, given: Input) -> float | None:
        """The gross mass at which it is now to be begun, or taken; None while it is neither."""
        taking = self.taking
        self.stood.hear(given)
        if self.stood.left:
            return None
        if not self.device or taking.objecting(given):
            return None
        at_once = taking.insisted(given)
        heard = isinstance(given, Grams) and given.device == self.device and not taking.objected
        still = self.context.rested_g(self.device, 0.0 if at_once else DWELL_S) if at_once or heard else None
        if still is None or not self.begun:
            return None if still is None or pan_is_empty(self.context, self.device, still) else still
        return still if taking.fits(still) and (at_once or not taking.held_back) else None

    # --- showing -------------------------------------------------------------------------------------

    def want(self, verb: Verb, thing: str = "") -> Want:
        """That of the boat, from the bench; with ``thing``, that of it up to its band."""
        if not thing:
            return Want(verb, self.boat, self.boat, self.device)
        return Want(verb, thing, self.boat, self.device, self.target.grams, self.target.band.high)

    def face(self, name: str, checked: bool, ask: NumberRequest) -> ActView:
        """The live mass of what is called so, and the boat that fills; what to do now is still to be said."""
        net, band = self.net_g, self.target.band
        live = LiveValue(name, net, "g", 2, ev.Source.MEASURED, self.device, "", checked)
        picture = VesselPicture(self.boat, net, self.target.grams, band.low, band.high, TOP_SHARE * band.high)
        return ActView("", self.context.progress.stage, (live,), picture, ask=ask)

    @property
    def start_over(self) -> Choice:
        """What may be said of one that is not to be gone on with."""
        return Choice(ChoiceKey.START_OVER, tr("Begin with an empty boat"), serious=True)

    def lifted(self, face: ActView) -> ActView | None:
        """The face of a boat that was begun and is off the scale, or came back otherwise; None where it is as it was."""
        if self.stood.by_g:
            return self.stood.asked(replace(face, want=self.want(Verb.PUT_BACK)), self.start_over)
        if not self.stood.left:
            return None
        text = tr("Put the boat back on the {scale}.", scale=self.device)
        return replace(face, instruction=text, choices=(self.start_over,), want=self.want(Verb.PUT_BACK))

    def filling(self, face: ActView, text: str, thing: str, choices: tuple[Choice, ...] = ()) -> ActView:
        """The face of a boat that is being filled, until it rests in its band."""
        want, net = self.want(Verb.POUR, thing), self.net_g
        if net is None or not self.target.band.holds(net):
            return replace(face, instruction=text, choices=choices, want=want)
        taking = self.taking
        return replace(
            face, instruction=taking.question or text, choices=(*taking.choices, *choices), want=want, taking=taking.gone,
            not_yet=(taking.word,) if taking.word else (),
        )  # fmt: skip
