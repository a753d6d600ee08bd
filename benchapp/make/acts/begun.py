"""A boat or container that was begun and left its scale: it goes on as it went, or once somebody says what became of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from benchapp import events as ev
from benchapp.foundation.band import Band
from benchapp.foundation.language import capitalised, number, tr
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.pan import LIFTED_SHARE, agreement_g, pan_is_empty
from benchapp.make.filters import SEEN_EMPTY
from benchapp.make.inputs import Grams, Input
from benchapp.make.view_model import ActView, Choice
from benchapp.make.vocabulary import ChoiceKey

#: Between which two gross masses it stood when it left, and where it rested last, in grams.
_LEAST, _MOST, _STOOD = "left at least", "left at most", "stood"


@dataclass(frozen=True)
class Begun:
    """What is called ``name`` on the scale ``device``. More than ``most_g`` net is too much: so much may be taken out beside."""

    context: Context
    device: str
    name: str
    most_g: float

    @property
    def left(self) -> bool:
        """Whether it left the scale, as far as anybody watched, and is not known to be back."""
        return self.context.progress.baseline_g is not None and _LEAST in self.context.counts.lasting

    def hear(self, given: Input) -> None:
        """A reading: it left, or is back as it went. A tare that is pressed looks as if it had left."""
        context, counts, gross = self.context, self.context.counts.lasting, self.context.gross_g(self.device)
        seen_empty = counts.pop(f"{SEEN_EMPTY} {self.device}", None) is not None
        if context.progress.baseline_g is None:
            self._is_back()
        if context.progress.baseline_g is None or gross is None or not isinstance(given, Grams):
            return
        base, still = context.base_g(self.device), context.still_g(self.device, 0.5)
        if not self.left and seen_empty:  # while the scale was in doubt
            counts[_LEAST] = counts[_MOST] = counts.get(_STOOD, base)
        elif not self.left and gross < LIFTED_SHARE * base:
            least, most = context.last_gross_g(self.device) or (base, base)
            counts[_LEAST] = max(least, base)
            counts[_MOST] = max(most, counts[_LEAST])
        elif still is not None and not pan_is_empty(context, self.device, still) and not self.by_g:
            self._is_back()
            counts[_STOOD] = still

    def _is_back(self) -> None:
        for key in (_LEAST, _MOST, _STOOD):
            self.context.counts.lasting.pop(key, None)

    @property
    def by_g(self) -> float:
        """By how much what stands there now is heavier than when it left (below 0: lighter), in grams; 0 where it may be it."""
        context, still = self.context, self.context.still_g(self.device, 0.5)
        if not self.left or still is None or pan_is_empty(context, self.device, still):
            return 0.0
        least, most = (context.counts.lasting[key] for key in (_LEAST, _MOST))
        over = context.net_g(self.device, most) > self.most_g
        allowed = agreement_g(context.division_g(self.device), still)
        floor = context.base_g(self.device) if over else least
        if Band(floor - allowed, most + allowed).holds(still):
            return 0.0
        return exact(still - (most if still > most else least))

    def went_on(self, act: Act, given: Input) -> list[ev.Event]:
        """That somebody put more in meanwhile."""
        if self.by_g <= 0 or not pressed(given, ChoiceKey.POURED_ON):
            return []
        said = act.confirm(
            self.context,
            tr("{by} g more were put into {name} beside the scale.", by=self._by, name=self.name),
        )
        self._is_back()
        return [said]

    @property
    def _by(self) -> str:
        return number(abs(self.by_g), f".{self.context.plan.decimals[self.device]}f")

    def asked(self, view: ActView, over: Choice) -> ActView:
        """The question about what stands there now; ``over`` begins with an empty one."""
        by_g, said = self.by_g, {"by": self._by, "name": self.name}
        heavier = tr("{name} came back {by} g heavier. Was more put in?", **said)
        lighter = tr("{name} came back {by} g lighter.", **said)
        more = (Choice(ChoiceKey.POURED_ON, tr("More was put in"), serious=True),) if by_g > 0 else ()
        why = tr("If its tare was pressed, or it is another one, take it off and begin again.")
        return replace(
            view, instruction=capitalised(heavier if by_g > 0 else lighter), not_yet=(why,), choices=(*more, over), move="", taking=None,
        )  # fmt: skip
