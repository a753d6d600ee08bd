"""When to stop pouring: what will stand when the stream ends, before the display shows it.

A stream in the air already weighs: its momentum presses as much as the grams still falling (momentum balance on
the vessel, textbook), so what is late is the display and the hand. Plain kinematics, no published source for the
cue; tried on simulated pours (``tests/benchmarks/bench_landing.py``).
"""

from __future__ import annotations

#: How late a display stands behind what lies on the pan, in seconds, until this scale's own pours have shown it.
LAG_S = 0.25
#: From the cue to a shut stream, in seconds: simple reaction to sight or sound 0.2 to 0.3 s (from memory), and the wrist.
HAND_S = 0.30
#: The first guess counts as so many pours.
GUESS_POURS = 2.0
#: Pours slower than this many divisions a second say nothing about lateness: the rounding is larger.
TELLING_DIVISIONS_S = 5.0
#: No hand and scale together are later than this; beyond it something else happened (a pause, a second pour).
LATEST_S = 2.0


def landing_g(shown_g: float, flow_g_s: float, lag_s: float = LAG_S) -> float:
    """Grams that will stand when pouring stops at this instant: the display and what it has still to catch up.

    ``flow_g_s`` is the display's rise in grams a second, ``lag_s`` its lateness in seconds.
    """
    return shown_g + max(flow_g_s, 0.0) * lag_s


def stop_in_s(
    shown_g: float, flow_g_s: float, target_g: float, late_s: float = LAG_S + HAND_S
) -> float | None:
    """Seconds until "stop" has to be said so that the pour lands on ``target_g``; 0.0 or less: now.

    ``late_s`` is the lateness of display and hand together in seconds. None while nothing flows.
    """
    if flow_g_s <= 0:
        return None
    return (target_g - landing_g(shown_g, flow_g_s, late_s)) / flow_g_s


class Lateness:
    """How late one scale and one hand are together, learned from this batch's own pours.

    ``cue`` notes the display and the flow when "stop" was said; ``landed`` what came to rest. The mean of what each
    pour showed, with the first guess counted as two pours; a pour that shows nothing (a trickle, a pause) is left out.
    """

    def __init__(self, division_g: float, late_s: float = LAG_S + HAND_S) -> None:
        self.division_g = division_g
        self._sum_s, self._count = late_s * GUESS_POURS, GUESS_POURS
        self._cue: tuple[float, float] | None = None

    @property
    def late_s(self) -> float:
        """Seconds from the cue until nothing more comes."""
        return self._sum_s / self._count

    def cue(self, shown_g: float, flow_g_s: float) -> None:
        """ "Stop" was said at this display, in grams, and flow, in grams a second."""
        self._cue = (shown_g, flow_g_s)

    def landed(self, rest_g: float) -> None:
        """The display came to rest at so many grams after the cue."""
        cue, self._cue = self._cue, None
        if cue is None or cue[1] < TELLING_DIVISIONS_S * self.division_g:
            return
        late_s = (rest_g - cue[0]) / cue[1]
        if 0.0 <= late_s <= LATEST_S:
            self._sum_s += late_s
            self._count += 1.0
