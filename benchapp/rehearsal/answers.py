"""What a sensible maker would press or type at a moment, for rehearsals that nobody answers."""

from __future__ import annotations

from benchapp.calculations.filling import density_at_20_g_ml
from benchapp.foundation.language import tr_noop
from benchapp.make.view_model import ViewModel
from benchapp.make.vocabulary import ChoiceKey, Verb
from benchapp.rehearsal.hands import Hands
from benchapp.runtime.session import Answer
from drivers.simulated import SimulatedBench

#: Seconds a person needs to read a prompt before answering.
READ_S = 2.0


#: Choices that simply say that something was done, in the order they are preferred; a lot before one that is on no book.
_PLAIN = (
    ChoiceKey.YES, ChoiceKey.UNDERSTOOD, ChoiceKey.START, ChoiceKey.SIGN, ChoiceKey.PAN_IS_EMPTY,
    ChoiceKey.SEEN_TO, ChoiceKey.IN_POT, ChoiceKey.RAN, ChoiceKey.RESUME, ChoiceKey.TAKE, ChoiceKey.REMOVE,
    ChoiceKey.KEEP, ChoiceKey.ADD, ChoiceKey.DILUTE, ChoiceKey.METER, ChoiceKey.IT_IS, ChoiceKey.FROM_HERE,
    ChoiceKey.START_OVER, ChoiceKey.POURED_ON, ChoiceKey.HAD_BEGUN, ChoiceKey.LOT, ChoiceKey.UNKNOWN,
)  # fmt: skip


class Answers:
    """Answers for the hands, never before what was asked for is done."""

    def __init__(self, bench: SimulatedBench, hands: Hands) -> None:
        self._bench = bench
        self._hands = hands
        self._prompt = ""
        self._since_s = 0.0

    def at(self, view: ViewModel) -> Answer | None:
        """The answer to this view, or None where nothing is to be said yet."""
        now = self._bench.now_s
        if view.prompt != self._prompt:
            self._prompt, self._since_s = view.prompt, now
        if now - self._since_s < READ_S:
            return None
        choices = view.act_view.choices
        offered = [c.key for c in choices]
        if ChoiceKey.LAST in offered and self._hands.filling.is_out(view):
            return Answer(ChoiceKey.LAST)
        later = next((c for c in choices if c.key == ChoiceKey.AHEAD), None)
        if later is not None:
            return Answer(later.word)  # the wait is used
        typed = self._typed(view)
        if typed is not None and not self._hands.busy:
            return typed
        if not self._hands.settled(view):
            return None
        plain = next((c for key in _PLAIN for c in choices if c.key == key), None)
        if plain is not None:
            return Answer(plain.word)
        wanted = view.act_view.want.verb if view.act_view.want else None
        if ChoiceKey.ACCEPT in offered and wanted in (Verb.ADJUST_PH, Verb.REMEDY):
            return Answer(ChoiceKey.ACCEPT, tr_noop("nothing else can be had here"))
        return None

    def _typed(self, view: ViewModel) -> Answer | None:
        ask, want = view.act_view.ask, view.act_view.want
        if ask is None or not ask.usual or want is None:
            return None
        if want.verb == Verb.READ_PH:
            ph = self._bench.world.vessel(want.vessel).ph()
            return None if ph is None else Answer(value=round(ph, 2))
        if want.verb == Verb.TYPE and want.thing == "density":
            return Answer(value=round(self._density_g_ml(want.vessel) * want.amount, 2))
        if want.verb == Verb.TYPE:
            return Answer(value=want.amount)
        if want.verb in (Verb.HEAT, Verb.COOL) or ask.unit == "°C":
            return self._typed_temperature(view)
        return None

    def _density_g_ml(self, vessel: str) -> float:
        """What a product of 0.97 g/ml at 20 °C weighs, as warm as it is (invented for the demo)."""
        warm = self._bench.world.vessel(vessel).temp_c if vessel in self._bench.world.vessels else 20.0
        return 0.97 / density_at_20_g_ml(1.0, warm)

    def _typed_temperature(self, view: ViewModel) -> Answer | None:
        ask = view.act_view.ask
        assert ask is not None
        named = [v for k, v in self._bench.world.vessels.items() if k.replace("-", " ") in ask.what]
        want = view.act_view.want
        if not named and want is not None and want.vessel:
            named = [self._bench.world.vessel(want.vessel)]
        return Answer(value=round(named[0].temp_c, 1)) if named else None
