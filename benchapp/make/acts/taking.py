"""A weighing that is about to be taken by itself: it is said, and there are two seconds to object."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from benchapp.calculations.settling import Swing
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Context, pressed
from benchapp.make.inputs import Input
from benchapp.make.view_model import Choice
from benchapp.make.vocabulary import ChoiceKey, Stage

#: Seconds at rest before a weighing is taken: time to object by pouring on, lifting, or saying so.
DWELL_S = 2.0
#: While too much is being taken out, less all at once is no surprise.
TAKING_OUT = (Stage.REMOVE,)
#: Said while it is about to be taken, and once somebody has objected.
TAKING = tr_noop("Taking it.")
OBJECTED = tr_noop("Not taken: pour on, or take it as it is.")
SWINGS = tr_noop("It sways by {way_g:g} g: its mean is taken. Shield the pan for a better one.")
#: Asked, and what else may be so, where the weight alone does not tell.
AT_ONCE = tr_noop("{by_g:.1f} g {way} all at once. Take it?")
LIES = tr_noop("If something lies there, take it off.")
CREPT = tr_noop("It has been right for a moment only. Take it?")
WANDERED = tr_noop("That may be the scale and not you. Pour on, or take it.")


@dataclass(frozen=True)
class Taking:
    """A weighing on the scale ``device``; ``fits`` tells of a gross mass in grams whether it would be taken, ``means``
    whether the mean of a scale that sways may be."""

    context: Context
    device: str
    fits: Callable[[float], bool]
    means: bool = False

    @property
    def swing(self) -> Swing | None:
        """A mean that may be taken, the scale's zero taken off: wherever in its way it truly lies, it would be (a guarded
        acceptance, JCGM 106:2012, 8.3.2; from memory)."""
        scale = self.context.watch.scales.get(self.device)
        swing = scale.motion.swing if scale is not None and self.means and not scale.tared else None
        if swing is None or self.context.gross_g(self.device) is None:
            return None
        mean_g = exact(swing.mean_g - self.context.zero_g(self.device))
        sure = self.fits(mean_g - swing.way_g) and self.fits(mean_g + swing.way_g)
        return replace(swing, mean_g=mean_g) if sure else None

    @property
    def stands(self) -> bool:
        """Whether it stands where it may be taken from: at rest, or swaying about a mean that may be."""
        return self.context.still_g(self.device) is not None or self.swing is not None

    @property
    def held_back(self) -> bool:
        """Whether the weight as it rests is only taken when somebody says so."""
        return self.objected or self.at_once_g != 0.0 or self.crept

    @property
    def objected(self) -> bool:
        """Whether somebody has objected since the scale came to rest. Pouring on or lifting ends it."""
        scale = self.context.watch.scales.get(self.device)
        return scale is not None and scale.objected

    @property
    def at_once_g(self) -> float:
        """What came or went all at once, as if something had been laid down, in grams; 0 where it may be a pour."""
        scale = self.context.watch.scales.get(self.device)
        by_g = 0.0 if scale is None else scale.sudden.by_g
        return 0.0 if by_g < 0 and self.context.progress.stage in TAKING_OUT else by_g

    @property
    def crept(self) -> bool:
        """Whether it came to where it would be taken by so little that nobody may have brought it there."""
        now_g, since_g = self.context.still_g(self.device), self.context.since_g(self.device)
        if now_g is None or since_g is None:
            return False
        return self.fits(now_g) and not self.fits(since_g)

    @property
    def gone(self) -> float | None:
        """How much of the time to object has gone, 0 to 1; None where it moves or is not to be taken by itself."""
        scale = self.context.watch.scales.get(self.device)
        if scale is None or self.held_back:
            return None
        if self.context.still_g(self.device) is not None:
            return min(scale.motion.rested_s / DWELL_S, 1.0)
        swing = self.swing
        return None if swing is None else min(swing.told_s / DWELL_S, 1.0)

    def objecting(self, given: Input) -> bool:
        """Take an objection down. Nothing is recorded: nothing has happened yet."""
        if not pressed(given, ChoiceKey.WAIT) or not self.stands:
            return False
        self.context.watch.scales[self.device].objected = True
        return True

    def insisted(self, given: Input) -> bool:
        """Whether somebody says to take what is held back all the same."""
        return pressed(given, ChoiceKey.TAKE) and self.held_back

    @property
    def choices(self) -> tuple[Choice, ...]:
        """What may be said to a weighing that rests where it may be taken."""
        if not self.stands:
            return ()
        return (
            (Choice(ChoiceKey.TAKE, tr("Take it")),)
            if self.held_back
            else (Choice(ChoiceKey.WAIT, tr("Not yet")),)
        )

    @property
    def question(self) -> str:
        """What is asked before it is taken; "" where nothing is, or somebody has objected anyway."""
        if self.context.still_g(self.device) is None or self.objected:
            return ""
        by_g = self.at_once_g
        if by_g:
            return tr(AT_ONCE, by_g=abs(by_g), way=tr("came") if by_g > 0 else tr("went"))
        return CREPT if self.crept else ""

    @property
    def word(self) -> str:
        """How it stands, in a sentence; "" while the scale moves."""
        still, swing = self.context.still_g(self.device), self.swing
        if still is None and swing is None:
            return ""
        if self.objected:
            return OBJECTED
        if still is None and swing is not None:
            return tr(SWINGS, way_g=swing.way_g)
        return LIES if self.at_once_g else WANDERED if self.crept else TAKING
