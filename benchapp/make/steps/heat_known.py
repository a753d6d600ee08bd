"""What every part of heating and holding knows: the vessels, their band, and how long it is held."""

from __future__ import annotations

from dataclasses import dataclass, field

from benchapp.calculations.hold import HoldClock
from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Act, Context
from benchapp.make.filters import known_for_s
from benchapp.make.vocabulary import Stage
from procedures.phrases import duration


@dataclass(frozen=True)
class HeatedVessels(Act):
    """Vessels that are to come into ``band`` together and stay there for ``hold_s`` seconds; hotter than ``over_c`` °C is far
    too hot."""

    vessels: tuple[str, ...] = ()
    thermometers: tuple[str, ...] = ()
    band: Band = field(default_factory=lambda: Band(70.0, 75.0))
    hold_s: float = 0.0
    over_c: float = 85.0
    probed: bool = False  # a probe stands in every vessel

    @property
    def devices(self) -> tuple[str, ...]:
        """The thermometers."""
        return self.thermometers

    @property
    def waits(self) -> bool:
        """While a thermometer watches every vessel."""
        return self.probed

    def unread(self, context: Context) -> bool:
        """Whether a probe gives nothing, or nothing of it has counted yet: one that was lifted is another matter."""
        return any(context.temp_c(v) is None and _unread(context, v) for v in self.vessels)

    def begun(self, context: Context) -> bool:
        """Once warmth is seen, where probes tell of it: heat that is not on would be noticed late."""
        temps = (context.temp_c(v) for v in self.vessels)
        return not self.unread(context) or any(t is not None and self.band.below(t) for t in temps)

    @property
    def sure_s(self) -> float:
        """The hold."""
        return self.hold_s

    @property
    def open_end(self) -> str:
        """It warms as fast as it warms."""
        return tr_noop("heating")

    @property
    def temperatures(self) -> tuple[str, ...]:
        """All of them."""
        return self.vessels

    @property
    def ties(self) -> frozenset[str]:
        """What it is about."""
        return frozenset(self.vessels)

    @property
    def brief(self) -> str:
        """Where to and how long."""
        if not self.hold_s:
            return tr("Heat to {low:g}–{high:g} °C", low=self.band.low, high=self.band.high)
        return tr(
            "Heat to {low:g}–{high:g} °C, hold {asked}",
            low=self.band.low,
            high=self.band.high,
            asked=duration(self.hold_s),
        )

    def clock(self, context: Context) -> HoldClock:
        """What counts the hold."""
        if context.counts.hold is None:
            slowest_s = max((context.plan.device(d).period_s for d in self.thermometers), default=0.0)
            context.counts.hold = HoldClock(self.band.low, context.progress.held_s, known_for_s(slowest_s))
        return context.counts.hold

    def by_hand(self, context: Context) -> bool:
        """Whether it is held by what somebody states, until they state otherwise."""
        return context.progress.stage == Stage.HOLDING

    def held_s(self, context: Context) -> float:
        """For how long it was held: as far as a thermometer saw it, or somebody was there who stated it; in seconds."""
        return max(self.clock(context).held_s, context.attended_s if self.by_hand(context) else 0.0)

    def next_vessel(self, here: str) -> str:
        """Where the one probe goes from there."""
        place = self.vessels.index(here)
        return self.vessels[(place + 1) % len(self.vessels)]

    def asked(self, context: Context) -> str:
        """The vessel whose temperature is typed next."""
        cold = [v for v in self.vessels if v not in context.progress.in_band]
        return cold[0] if cold else self.vessels[0]


def _unread(context: Context, vessel: str) -> bool:
    """Whether its probe gives nothing, or nothing of it has counted yet: one that was lifted is another matter."""
    probe = context.probe_in(vessel)
    return probe is not None and (vessel not in context.counts.forecasters or context.shown_c(probe) is None)
