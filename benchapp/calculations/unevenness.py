"""How uneven the pace of a batch may be: in air, in a bath, on a plate, where something melts."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Uneven:
    """One way a rate may be uneven, and how likely it is.

    ``wander``: what the rate may have wandered by the end of a wait (relative standard deviation). ``rough``: what
    ups and downs that even out leave over a whole wait. ``swing_k``: how far the probe swings about the mean, in K.
    """

    wander: float
    rough: float
    swing_k: float
    share: float


#: How uneven rates are, and how likely: in air little comes between, or somebody stirs now and then.
IN_AIR = (
    Uneven(0.012, 0.0, 0.0, 0.13), Uneven(0.03, 0.0, 0.0, 0.27), Uneven(0.08, 0.0, 0.0, 0.3), Uneven(0.22, 0.0, 0.0, 0.12),
    Uneven(0.1, 0.0, 0.6, 0.09), Uneven(0.2, 0.0, 1.5, 0.09),
)  # fmt: skip
IN_BATH = (
    Uneven(0.04, 0.0, 0.0, 0.2), Uneven(0.1, 0.04, 0.0, 0.3), Uneven(0.1, 0.12, 0.0, 0.3), Uneven(0.3, 0.04, 0.0, 0.2),
)  # fmt: skip
#: Where it melts or is iced as well, no pace lasts.
UNSTEADY = (Uneven(0.05, 0.02, 0.0, 0.3), Uneven(0.13, 0.06, 0.0, 0.4), Uneven(0.3, 0.1, 0.0, 0.3))
ON_PLATE = (Uneven(0.03, 0.005, 0.0, 0.5), Uneven(0.1, 0.02, 0.0, 0.35), Uneven(0.25, 0.1, 0.0, 0.15))
