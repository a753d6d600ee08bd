"""What touches the glass, made up: droplets, splashes, drips, wiping hands, sleeves; and fingers, wet ones too.

From thought, not from hardware. Assumed: the panel reports contacts as points (most give no area, so none is used), 125
times a second. A droplet is reported for a moment when it lands (10 to 150 ms, long enough for a quick finger), or
sticks and is reported as long as it sits there (0.2 to 60 s, every decade as likely), or runs downwards; drops of one
splash land within 0.1 to 2 s, around one place or all over the glass; a wet spoon or hand held above it lets one drop
after another fall almost on one spot; a wiping hand leaves long paths, broken off and taken up again; a sleeve lies. A
finger stays 60 to 800 ms, trembles, may slide a few mm, and a wet one may be reported twice or break off for a moment.
How often each happens is made up as well. Nothing here was chosen by what the guard lets through.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from random import Random

#: A 10-inch panel in mm: wide, high.
GLASS_MM = (217.0, 136.0)
#: How often a panel reports a contact that stays, in seconds; how often the glass is drawn.
REPORT_S, FRAME_S = 0.008, 1 / 60

Place = tuple[float, float]


@dataclass(frozen=True)
class Contact:
    """One contact: (seconds, place in mm) from where it comes down to where it lifts; y grows upwards."""

    path: tuple[tuple[float, Place], ...]

    @property
    def down_s(self) -> float:
        return self.path[0][0]

    @property
    def up_s(self) -> float:
        return self.path[-1][0]


def between(chance: Random, low: float, high: float) -> float:
    """Every decade as likely."""
    return math.exp(chance.uniform(math.log(low), math.log(high)))


def anywhere(chance: Random) -> Place:
    return chance.uniform(0, GLASS_MM[0]), chance.uniform(0, GLASS_MM[1])


def around(chance: Random, place: Place, sigma_mm: float) -> Place:
    x, y = chance.gauss(place[0], sigma_mm), chance.gauss(place[1], sigma_mm)
    return min(max(x, 0.0), GLASS_MM[0]), min(max(y, 0.0), GLASS_MM[1])


def straight(at_s: float, lasts_s: float, start: Place, end: Place, shake: Random | None = None) -> Contact:
    """From one place to another; a long stay is reported only now and then, which no guard can tell."""
    count = min(max(int(lasts_s / REPORT_S), 1), 60)
    path = []
    for n in range(count + 1):
        share = n / count
        x, y = (a + (b - a) * share for a, b in zip(start, end, strict=True))
        if shake is not None:
            x, y = x + shake.gauss(0, 0.3), y + shake.gauss(0, 0.3)
        path.append((at_s + lasts_s * share, (x, y)))
    return Contact(tuple(path))


# --- water ---------------------------------------------------------------------------------------------


def droplet(chance: Random, at_s: float, place: Place) -> list[Contact]:
    """One drop: a flick, as long as a tap, sticking, running down, or reported when it lands and sticking later."""
    kind = chance.random()
    if kind < 0.25:
        return [straight(at_s, chance.uniform(0.01, 0.06), place, place)]
    if kind < 0.65:
        return [straight(at_s, chance.uniform(0.06, 0.15), place, place)]
    if kind < 0.8:
        return [straight(at_s, between(chance, 0.2, 60.0), place, place)]
    if kind < 0.9:
        lasts_s = between(chance, 0.2, 5.0)
        low = max(place[1] - chance.uniform(2.0, 60.0) * lasts_s, 0.0)
        return [straight(at_s, lasts_s, place, (place[0], low))]
    first = straight(at_s, chance.uniform(0.01, 0.15), place, place)
    return [first, straight(first.up_s + chance.uniform(0.01, 0.4), between(chance, 0.1, 5.0), place, place)]


def splash(chance: Random, at_s: float) -> list[Contact]:
    """2 to 15 drops within 0.1 to 2 s, around one place or all over the glass."""
    centre, sigma, within_s = anywhere(chance), chance.choice((15.0, 40.0, 200.0)), between(chance, 0.1, 2.0)
    out = []
    for n in range(chance.randint(2, 15)):
        place = around(chance, centre, sigma) if sigma < 200.0 else anywhere(chance)
        out += droplet(chance, at_s + (chance.uniform(0.0, within_s) if n else 0.0), place)
    return out


def drip(chance: Random, at_s: float) -> list[Contact]:
    """2 to 8 drops, one after the other, almost on one spot or along the way of a hand."""
    place, sigma = anywhere(chance), chance.choice((1.0, 4.0, 20.0))
    out = []
    for _ in range(chance.randint(2, 8)):
        out += droplet(chance, at_s, around(chance, place, sigma))
        at_s += between(chance, 0.15, 3.0)
    return out


def wipe(chance: Random, at_s: float) -> list[Contact]:
    """Strokes of a cloth or the side of a hand, one to three contacts wide, broken off now and then."""
    out = []
    for _ in range(chance.randint(1, 5)):
        start, end = anywhere(chance), anywhere(chance)
        lasts_s = chance.uniform(0.15, 0.8)
        for _ in range(chance.randint(1, 3)):
            off = (chance.gauss(0, 12.0), chance.gauss(0, 12.0))
            pieces = chance.randint(1, 3)
            for n in range(pieces):
                a, b = (n / pieces, (n + chance.uniform(0.6, 1.0)) / pieces)
                ends = [
                    (start[0] + off[0] + s * (end[0] - start[0]), start[1] + off[1] + s * (end[1] - start[1]))
                    for s in (a, b)
                ]
                out.append(straight(at_s + a * lasts_s, (b - a) * lasts_s, ends[0], ends[1]))
        at_s += lasts_s + chance.uniform(0.05, 0.5)
    return out


def sleeve(chance: Random, at_s: float) -> list[Contact]:
    """Something that lies on the glass for a while, in one to three places."""
    place = anywhere(chance)
    out = []
    for _ in range(chance.randint(1, 3)):
        spot = around(chance, place, 15.0)
        out.append(
            straight(
                at_s + chance.uniform(0, 0.3), between(chance, 0.3, 20.0), spot, around(chance, spot, 3.0)
            )
        )
    return out


def single(chance: Random, at_s: float) -> list[Contact]:
    """One drop by itself."""
    return droplet(chance, at_s, anywhere(chance))


# --- fingers -------------------------------------------------------------------------------------------


def finger(chance: Random, at_s: float, place: Place, least_s: float = 0.06) -> list[Contact]:
    """A deliberate press, at least so long: it trembles, slides a little, and if wet is reported twice or breaks off."""
    lasts_s = min(least_s + max(chance.lognormvariate(math.log(0.09), 0.7), 0.0), 0.8)
    slid = abs(chance.gauss(0, 2.0))
    way = chance.uniform(0, 2 * math.pi)
    end = (place[0] + slid * math.cos(way), place[1] + slid * math.sin(way))
    kind = chance.random()
    if kind < 0.1:  # two contacts of one finger
        beside = around(chance, place, 2.0)
        late, early = chance.uniform(0.0, 0.04), chance.uniform(0.0, 0.03)
        twin = straight(at_s + late, max(lasts_s - late - early, 0.02), beside, beside, chance)
        return [straight(at_s, lasts_s, place, end, chance), twin]
    if kind < 0.15:  # the contact breaks off for a moment
        gap = chance.uniform(0.01, 0.04)
        at = chance.uniform(0.3, 0.7) * lasts_s
        return [
            straight(at_s, at, place, end, chance),
            straight(at_s + at + gap, max(lasts_s - at - gap, 0.02), end, end, chance),
        ]
    return [straight(at_s, lasts_s, place, end, chance)]


# --- playing it ----------------------------------------------------------------------------------------


def happenings(contacts: Sequence[Contact]) -> Iterator[tuple[float, str, int, Place]]:
    """(seconds, "down", "move" or "up", which contact, place), in order."""
    out = []
    for key, contact in enumerate(contacts):
        for n, (at_s, place) in enumerate(contact.path):
            what = "down" if n == 0 else "up" if n == len(contact.path) - 1 else "move"
            out.append((at_s, what, key, place))
    return iter(sorted(out, key=lambda h: h[0]))
