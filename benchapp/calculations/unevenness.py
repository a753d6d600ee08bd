"""How uneven the pace of a batch may be: in air, in a bath, on a plate, where something melts; and how sure a forecast is."""

from __future__ import annotations

from dataclasses import dataclass
from math import log

from benchapp.calculations.heat_loss import VesselPrior


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


@dataclass(frozen=True, slots=True)
class Unevenness:
    """Of one kind of wait.

    ``doubt``: what no reading so far can tell of the way still to come, as a relative standard deviation (no source; common
    practice). ``left_out``: which share of the arrivals thought possible is left out before and after the interval that is
    to hold four times in five; other than a tenth where that was righter over the simulated vessels it was chosen on.
    """

    ways: tuple[Uneven, ...]
    doubt: float
    left_out: tuple[float, float] = (0.1, 0.1)


_ON_BENCH, _SETTING = Unevenness(IN_AIR, 0.01), Unevenness(IN_AIR, 0.05, (0.14, 0.14))
#: On a plate ``left_out`` goes with the contents, from these grams to those. Little wax may stand on a plate so weak that it
#: ends hardly hotter than is wanted, and be late; water on a plate is sooner there than was said rather than later.
LITTLE_G, MUCH_G = 110.0, 200.0
_LEFT_OUT_PLATE = ((0.08, 0.3), (0.08, 0.2))
_LEFT_OUT_PLATE_MELTING, _LEFT_OUT_PLATE_TOLD = ((0.17, 0.05), (0.24, 0.24)), ((0.24, 0.05), (0.26, 0.26))
#: Ice melts; somebody tops a bath up and turns its dial, and less is open in one whose kind was told.
_ICE = Unevenness(UNSTEADY, 0.12)
_DOUBT_BATH, _DOUBT_TOLD_BATH = 0.18, 0.1


def unevenness_of(warms: bool, prior: VesselPrior, iced: bool) -> Unevenness:
    """By what is known of a wait; ``iced``: it was put into something cold on the way."""
    melts = bool(prior.melts)
    if iced:
        return _ICE
    if prior.in_bath:
        doubt = _DOUBT_BATH if prior.bath is None else _DOUBT_TOLD_BATH
        return Unevenness(UNSTEADY, doubt, (0.125, 0.125)) if melts else Unevenness(IN_BATH, doubt)
    if warms:
        return Unevenness(ON_PLATE, 0.02, _left_out_on_plate(prior))
    return _SETTING if melts else _ON_BENCH


def _left_out_on_plate(prior: VesselPrior) -> tuple[float, float]:
    melting = _LEFT_OUT_PLATE_TOLD if prior.melting_told else _LEFT_OUT_PLATE_MELTING
    little, much = melting if prior.melts else _LEFT_OUT_PLATE
    share = min(1.0, max(0.0, log(prior.mass_g / LITTLE_G) / log(MUCH_G / LITTLE_G)))
    return little[0] + (much[0] - little[0]) * share, little[1] + (much[1] - little[1]) * share
