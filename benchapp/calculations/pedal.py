"""A foot switch told apart by time: pressed, held, or neither. Pure: keys and seconds in, what was meant out.

The limits are common practice, no source; tried on made-up feet only, not on hardware.
"""

from __future__ import annotations

from dataclasses import dataclass

#: Pressed and let go before this, it is a yes; held as long as the second, it is the distinct act. Seconds.
SHORT_S, HELD_S = 1.0, 2.0
#: Let go and down again sooner than this is a worn contact, not a foot, in seconds.
BOUNCE_S = 0.05
#: Where a keyboard reports no release (a terminal), a key that repeats no more for so long was let go, in seconds.
QUIET_S = 1.0


@dataclass(frozen=True, slots=True)
class PedalAction:
    """What the foot meant: held or merely pressed, and for which prompt."""

    held: bool
    meant: str


class PedalSwitch:
    """One key. What stood there when it went down is what it answers; it has to come up before the next."""

    def __init__(self) -> None:
        self._down_s: float | None = None
        self._meant = ""
        self._told = False
        self._up_s: float | None = None

    @property
    def is_down(self) -> bool:
        """Whether a foot is on it."""
        return self._down_s is not None

    def down(self, at_s: float, meant: str) -> bool:
        """The key goes down, or repeats. True where it is a new press."""
        if self._down_s is not None:
            return False
        if self._up_s is not None and 0.0 <= at_s - self._up_s < BOUNCE_S:
            # The contact bounced: it is the same press, and has said whatever it had to say.
            self._down_s, self._told = at_s, True
            return False
        self._down_s, self._meant, self._told = at_s, meant, False
        return True

    def look(self, at_s: float) -> PedalAction | None:
        """Held long enough, once. Call often while it is down."""
        if self._down_s is None or self._told or at_s - self._down_s < HELD_S:
            return None
        self._told = True
        return PedalAction(True, self._meant)

    def up(self, at_s: float) -> PedalAction | None:
        """It is let go: a yes where it was short, nothing between short and held."""
        down_s, self._down_s, self._up_s = self._down_s, None, at_s
        if down_s is None or self._told:
            return None
        self._told = True
        if at_s - down_s >= HELD_S:
            return PedalAction(True, self._meant)
        return PedalAction(False, self._meant) if at_s - down_s < SHORT_S else None


class RepeatedPedal:
    """The same where only repeats are heard, never a release: it counts as let go once it is quiet."""

    def __init__(self) -> None:
        self._pedal = PedalSwitch()
        self._last_s = 0.0

    def heard(self, at_s: float, meant: str) -> bool:
        """The key was heard. True where it is a new press."""
        self._last_s = at_s
        return self._pedal.down(at_s, meant)

    def look(self, at_s: float) -> PedalAction | None:
        """What it turned out to be. Call often."""
        if not self._pedal.is_down:
            return None
        if at_s - self._last_s >= QUIET_S:
            return self._pedal.up(self._last_s)
        return self._pedal.look(self._last_s)
