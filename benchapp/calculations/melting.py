"""What melts or sets on the way, and what thickens: by how much it slows a curve at each temperature.

A procedure knows where its materials melt, for some of them how much heat that takes, and never over how wide a range; so
there are several guesses, each with how likely it is. Heat of melting of waxes and butters nobody stated it of: 35 to
190 J/g (common figures, no source).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import cos, exp, pi

from benchapp.calculations.heat_loss import MeltingShare, VesselPrior


@dataclass(frozen=True, slots=True)
class Guesses:
    """What is guessed of the heat of melting, each with how likely it is: J/g, how far above or below the stated
    melting points it is clear, over how many kelvin it melts."""

    latent_j_g: tuple[tuple[float, float], ...]
    clear_k: tuple[tuple[float, float], ...]
    over_k: tuple[tuple[float, float], ...]


MELTS = Guesses(
    ((0.0, 0.05), (45.0, 0.33), (100.0, 0.34), (175.0, 0.28)),
    ((4.0, 0.12), (2.0, 0.22), (0.0, 0.3), (-2.0, 0.22), (-4.0, 0.14)),
    ((5.0, 0.34), (9.0, 0.33), (14.0, 0.33)),
)
#: It sets lower than it melts.
SETS = Guesses(
    ((0.0, 0.08), (50.0, 0.32), (110.0, 0.35), (180.0, 0.25)),
    ((2.0, 0.35), (-1.0, 0.4), (-4.5, 0.25)),
    ((6.0, 0.5), (11.0, 0.5)),
)
#: What is told of the heat of melting holds give or take this factor, each with how likely it is: fat that has set is
#: rarely wholly crystals, and some of it may be molten already (no source).
AS_TOLD = ((0.0, 0.05), (0.8, 0.28), (1.0, 0.39), (1.25, 0.28))
#: In something cold the wall sets long before the middle: what the middle shows of it is spread out.
ICED = Guesses(((0.0, 0.5), (60.0, 0.35), (120.0, 0.15)), ((0.0, 0.5), (-5.0, 0.5)), ((18.0, 1.0),))
#: What melts no further apart than this melts together (common practice, no source).
TOGETHER_K = 10.0
#: What melts in less than this of heat, as kelvin of warming, is not seen.
SEEN_K = 0.4
#: How much slower heat gets into something wholly solid than into it molten, per kelvin below its melting point.
STIFF = ((0.0, 0.0, 0.35), (0.7, 0.04, 0.35), (1.6, 0.05, 0.3))

#: From so far below to so far above what is stated, a phase is taken to be melting or to set. In a bath hardly further
#: than the highest guess at where it is clear, so that the pace after the plateau is believed at once.
MELTS_FROM_K, MELTS_UNTIL_K, MELTS_IN_BATH_UNTIL_K = 20.0, 8.0, 3.0

Slowed = tuple[list[float], float]


def slowed_by(prior: VesselPrior, at_c: Sequence[float], guesses: Guesses) -> list[Slowed]:
    """Factors on the rate at each temperature, and how likely each list of them is."""
    near = _together([x for x in prior.melts if min(at_c) - 5.0 < x.melts_c < max(at_c) + 15.0])
    if not near:
        return [([1.0] * len(at_c), 1.0)]
    clear = max(x.melts_c for x in near)
    stiffs = STIFF if guesses is MELTS and prior.water_share < 0.3 else STIFF[:1]
    found: list[Slowed] = []
    for melt, likely in _melting(prior, near, at_c, guesses):
        for much, steep, share in stiffs:
            stiff = [1.0 + much * (exp(steep * max(clear - t, 0.0)) - 1.0) for t in at_c]
            factors = [m / s for m, s in zip(melt, stiff, strict=True)]
            found.append((factors, likely * share / sum(s for _, _, s in stiffs)))
    return found


def _together(melts: Sequence[MeltingShare]) -> list[MeltingShare]:
    """What melts within ``TOGETHER_K`` of something hotter dissolves in it: both are clear where the hotter one is."""
    found: list[MeltingShare] = []
    for x in sorted(melts, key=lambda x: -x.melts_c):
        near = found and found[-1].melts_c - x.melts_c <= TOGETHER_K
        found.append(replace(x, melts_c=found[-1].melts_c) if near else x)
    return found


def _melting(
    prior: VesselPrior, near: Sequence[MeltingShare], at_c: Sequence[float], guesses: Guesses
) -> Iterator[Slowed]:
    for heats, likely in _heats_j_g(near, guesses):
        kelvin = [
            (x.share * heat * prior.mass_g / prior.heat_j_k, x.melts_c)
            for x, heat in zip(near, heats, strict=True)
        ]
        if sum(k for k, _ in kelvin) < SEEN_K:
            yield [1.0] * len(at_c), likely
            continue
        for (shift, so), (over, wide) in product(guesses.clear_k, guesses.over_k):
            yield (
                [1.0 / (1.0 + sum(k * _bump(t - c - shift, over) for k, c in kelvin)) for t in at_c],
                likely * so * wide,
            )


def _heats_j_g(near: Sequence[MeltingShare], guesses: Guesses) -> Iterator[Slowed]:
    """What each of them may take to melt, and how likely: guessed; as told, give or take, where it is told of all. Iced, it
    is guessed."""
    if guesses is ICED:
        near = [replace(x, heat_j_g=None) for x in near]
    told = [x.heat_j_g for x in near if x.heat_j_g is not None]
    if len(told) == len(near):
        for factor, so in AS_TOLD:
            yield [factor * heat for heat in told], so
        return
    for guess, so in guesses.latent_j_g:
        yield [guess if x.heat_j_g is None else x.heat_j_g for x in near], so


def _bump(above_k: float, over_k: float) -> float:
    """Share that melts per kelvin at so many kelvin above where it is clear."""
    if not -over_k < above_k < 0.0:
        return 0.0
    return (1.0 - cos(2.0 * pi * above_k / over_k)) / over_k


def melting_between(prior: VesselPrior, warms: bool) -> tuple[float, float] | None:
    """Between which temperatures it melts or sets, in the order of the way; None where nothing does."""
    if not prior.melts:
        return None
    until_k = MELTS_IN_BATH_UNTIL_K if warms and prior.in_bath else MELTS_UNTIL_K
    low = min(x.melts_c for x in prior.melts) - MELTS_FROM_K
    high = max(x.melts_c for x in prior.melts) + until_k
    return (low, high) if warms else (high, low)
