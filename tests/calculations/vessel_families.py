"""Families of vessels that no forecast was made on: emulsions that set, phases that melt, baths, plates, ice, lids.

Each family is a way to draw a pot (``setting_pots``) with what a procedure says of it. The draws were fixed before the
forecast was changed; the distributions are stated here (no source: what a maker's bench might hold). A family with a
change has it part of the way on, and its looks are counted from then; it also carries the instant at which the probe
has come off the unchanged course by three times its scatter.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import exp, log, pi
from random import Random

from setting_pots import Air, Bath, Display, Plate, Pot, Stirring, Stuff

Change = Callable[[Pot], None]


@dataclass(frozen=True)
class Drawn:
    """One vessel before it begins: the pot, its probe, where it is to go, and what happens to it after a share of the way."""

    pot: Pot
    probe: Display
    kind: str
    target_c: float
    melts: tuple[tuple[float, float], ...] = ()  # (share of the contents, °C), as the procedure says
    change: Change | None = None
    water: float = 0.75
    told_bath: bool = False


def _probe(rng: Random, temp_c: float) -> Display:
    step = rng.choice((0.1, 0.1, 0.1, 0.1, 0.1, 0.5, 1.0))
    return Display(
        rng, temp_c, lag_s=exp(rng.uniform(log(2.0), log(15.0))), noise_k=exp(rng.uniform(log(0.01), log(0.15))),
        step_k=step, near_skin=rng.uniform(0.0, 0.4), offset_k=rng.gauss(0.0, 0.3),
    )  # fmt: skip


def _air(rng: Random, water: float, lid: bool) -> Air:
    room = rng.uniform(17.0, 27.0)
    film = rng.uniform(0.3, 1.0) if water > 0.05 else 0.0
    return Air(room, rng.uniform(7.0, 14.0), rng.uniform(0.06, 0.11) * film, rng.uniform(700.0, 1800.0), lid)


def _width(rng: Random, mass_g: float) -> float:
    third: float = (4.0 * mass_g * 1e-6 / (pi * rng.uniform(0.4, 1.3))) ** (1.0 / 3.0)
    return third


def _pot(
    rng: Random, stuff: Stuff, air: Air, around: Air | Bath | Plate, stirring: Stirring, temp_c: float
) -> Pot:
    return Pot(
        stuff, _width(rng, stuff.mass_g), air, around, stirring, temp_c, temp_c, skin=rng.uniform(0.08, 0.25),
        wall_j_k=stuff.mass_g * rng.uniform(0.05, 0.45) * 0.8, inner_w_m2k=rng.uniform(150.0, 400.0),
        stirred=rng.uniform(2.0, 4.0),
    )  # fmt: skip


def _emulsion(rng: Random) -> tuple[Stuff, tuple[tuple[float, float], ...]]:
    mass, water = exp(rng.uniform(log(150.0), log(1200.0))), rng.uniform(0.6, 0.85)
    wax = rng.uniform(0.03, 0.12)
    liquid = rng.uniform(46.0, 66.0)
    stuff = Stuff(
        mass, 4.18 * water + 2.0 * (1.0 - water), wax, rng.uniform(35.0, 190.0),
        liquid - rng.uniform(5.0, 15.0), liquid, rng.uniform(0.02, 0.1), rng.uniform(0.05, 0.3),
    )  # fmt: skip
    return stuff, _melts(rng, stuff)


def _oils(rng: Random, low_g: float, high_g: float) -> tuple[Stuff, tuple[tuple[float, float], ...]]:
    liquid = rng.uniform(46.0, 66.0)
    stuff = Stuff(
        exp(rng.uniform(log(low_g), log(high_g))), rng.uniform(1.9, 2.3), rng.uniform(0.15, 0.6),
        rng.uniform(35.0, 190.0), liquid - rng.uniform(5.0, 15.0), liquid, rng.uniform(0.04, 0.1), rng.uniform(0.04, 0.15),
    )  # fmt: skip
    return stuff, _melts(rng, stuff)


def _melts(rng: Random, stuff: Stuff) -> tuple[tuple[float, float], ...]:
    """What suppliers' sheets say: where it is clear, give or take, of all that melts; on cooling it sets lower."""
    clear = stuff.liquid_c + rng.gauss(0.0, 2.0)
    first = rng.uniform(0.4, 0.8)
    return (
        (round(stuff.wax * first, 4), round(clear)),
        (round(stuff.wax * (1.0 - first), 4), round(clear - rng.uniform(2.0, 8.0))),
    )


def _cools(rng: Random, stuff: Stuff) -> Stuff:
    """It sets somewhat lower than it melts."""
    under = rng.uniform(0.0, 5.0)
    return replace(stuff, solid_c=stuff.solid_c - under, liquid_c=stuff.liquid_c - under)


def _setting(rng: Random, stirring: Stirring, lid: bool, change: Change | None = None) -> Drawn:
    stuff, melts = _emulsion(rng)
    stuff = _cools(rng, stuff)
    water = (stuff.cp_j_gk - 2.0) / 2.18
    air = _air(rng, water, lid)
    start = rng.uniform(68.0, 80.0)
    pot = _pot(rng, stuff, air, air, stirring, start)
    target = rng.uniform(max(34.0, air.room_c + 9.0), 46.0)
    return Drawn(pot, _probe(rng, start), "cool", target, melts, change, water)


def kept_stirred(rng: Random) -> Drawn:
    """An emulsion kept stirred, setting as it cools."""
    return _setting(rng, Stirring("always"), rng.random() < 0.15)


def stirred_now_and_then(rng: Random) -> Drawn:
    """An emulsion stirred for half a minute or a minute every few minutes."""
    stirring = Stirring("now and then", rng.uniform(150.0, 480.0), rng.uniform(25.0, 70.0))
    return _setting(rng, stirring, rng.random() < 0.25)


def stirring_stops(rng: Random) -> Drawn:
    """An emulsion whose stirring stops half-way."""

    def stop(pot: Pot) -> None:
        pot.stirring = Stirring("never")

    return _setting(rng, Stirring("always"), False, stop)


def emulsion_into_ice(rng: Random) -> Drawn:
    """An emulsion put into ice water half-way."""
    way = Stirring("always") if rng.random() < 0.6 else Stirring("now and then", 180.0, 60.0)
    ice, warm, h = rng.uniform(200.0, 1200.0), rng.uniform(0.5, 3.5), rng.uniform(150.0, 400.0)

    def into_ice(pot: Pot) -> None:
        pot.around = Bath("ice", warm, pot.air.room_c, water_g=2500.0, ice_g=ice, h_w_m2k=h)

    return _setting(rng, way, False, into_ice)


def lid_goes_on_or_off(rng: Random) -> Drawn:
    """A pot of water or emulsion whose lid is put on, or taken off."""
    lid = rng.random() < 0.5

    def other(pot: Pot) -> None:
        pot.air.lid = not lid

    drawn = _setting(rng, Stirring("always"), lid, other)
    return drawn if rng.random() < 0.5 else replace(_cup(rng, lid), change=other)


def _cup(rng: Random, lid: bool) -> Drawn:
    air = _air(rng, 1.0, lid)
    start = rng.uniform(70.0, 92.0)
    stuff = Stuff(exp(rng.uniform(log(120.0), log(500.0))), 4.18)
    pot = _pot(rng, stuff, air, air, Stirring("never"), start)
    pot.skin_c = start if rng.random() < 0.5 else rng.uniform(air.room_c, start)
    return Drawn(
        pot, _probe(rng, start), "cool", rng.uniform(max(34.0, air.room_c + 9.0), 50.0), (), None, 1.0
    )


def plain_cup(rng: Random) -> Drawn:
    """A cup of water left to cool, with or without a lid that nobody tells of."""
    return _cup(rng, rng.random() < 0.4)


def _bath(rng: Random, room_c: float, target_c: float) -> Bath:
    way = rng.choice(("thermostat", "thermostat", "on-off", "heating"))
    above = rng.uniform(3.0, 15.0)
    warm = rng.random() < 0.6 and way != "heating"
    begins = target_c + above if warm else rng.uniform(room_c, 60.0)
    return Bath(
        way, begins, room_c, rng.uniform(1500.0, 5000.0), target_c + above, rng.uniform(700.0, 2000.0),
        rng.uniform(0.4, 2.5), h_w_m2k=rng.uniform(120.0, 400.0),
    )  # fmt: skip


def _stirs(rng: Random) -> Stirring:
    way = rng.choice(("never", "now and then", "always"))
    return Stirring(way, rng.uniform(120.0, 400.0), rng.uniform(20.0, 60.0))


def wax_in_a_bath(rng: Random) -> Drawn:
    """A wax phase that melts in a hot-water bath."""
    stuff, melts = _oils(rng, 50.0, 500.0)
    air = _air(rng, 0.0, rng.random() < 0.4)
    target = rng.uniform(70.0, 78.0)
    start = air.room_c + rng.uniform(-1.0, 4.0)
    pot = _pot(rng, stuff, air, _bath(rng, air.room_c, target), _stirs(rng), start)
    return Drawn(pot, _probe(rng, start), "heat", target, melts, None, 0.0, True)


def _plate(rng: Random, pot_j_k: float, room_c: float) -> Plate:
    power = pot_j_k * rng.uniform(0.04, 0.12)
    switched = rng.random() < 0.5
    return Plate(
        room_c, room_c, max(power, 80.0), rng.uniform(140.0, 280.0) if switched else None, rng.uniform(200.0, 900.0),
        rng.uniform(100.0, 300.0),
    )  # fmt: skip


def wax_on_a_plate(rng: Random) -> Drawn:
    """A wax phase that melts on a hot plate."""
    stuff, melts = _oils(rng, 50.0, 500.0)
    air = _air(rng, 0.0, rng.random() < 0.2)
    start = air.room_c + rng.uniform(-1.0, 4.0)
    plate = _plate(rng, stuff.mass_g * stuff.cp_j_gk, air.room_c)
    pot = _pot(rng, stuff, air, plate, _stirs(rng), start)
    return Drawn(pot, _probe(rng, start), "heat", rng.uniform(70.0, 78.0), melts, None, 0.0)


def _waters(rng: Random) -> tuple[Stuff, Air, float, float]:
    water = rng.uniform(0.85, 1.0)
    mass = exp(rng.uniform(log(100.0), log(1000.0)))
    air = _air(rng, 1.0, rng.random() < 0.5)
    return (
        Stuff(mass, 4.18 * water + 2.4 * (1.0 - water)),
        air,
        air.room_c + rng.uniform(-3.0, 4.0),
        rng.uniform(70.0, 78.0),
    )


def water_in_a_bath(rng: Random) -> Drawn:
    """A water phase warmed in a hot-water bath."""
    stuff, air, start, target = _waters(rng)
    pot = _pot(rng, stuff, air, _bath(rng, air.room_c, target), _stirs(rng), start)
    return Drawn(pot, _probe(rng, start), "heat", target, (), None, 0.93, True)


def water_on_a_plate(rng: Random) -> Drawn:
    """A water phase warmed on a hot plate."""
    stuff, air, start, target = _waters(rng)
    plate = _plate(rng, stuff.mass_g * stuff.cp_j_gk, air.room_c)
    pot = _pot(rng, stuff, air, plate, _stirs(rng), start)
    return Drawn(pot, _probe(rng, start), "heat", target, (), None, 0.93)


def small_pot_fast(rng: Random) -> Drawn:
    """About a hundred grams on a strong plate: a tenth to a fifth of a kelvin a second."""
    air = _air(rng, 1.0, rng.random() < 0.3)
    wet = rng.random() < 0.6
    stuff, melts = (
        (Stuff(rng.uniform(80.0, 150.0), 4.0), ())
        if wet
        else _oils(rng, 80.0, 150.0)
    )  # fmt: skip
    start = air.room_c + rng.uniform(-1.0, 3.0)
    power = stuff.mass_g * stuff.cp_j_gk * rng.uniform(0.12, 0.25)
    plate = Plate(air.room_c, air.room_c, power, None, rng.uniform(60.0, 200.0), rng.uniform(250.0, 500.0))
    pot = _pot(rng, stuff, air, plate, Stirring("always"), start)
    return Drawn(pot, _probe(rng, start), "heat", rng.uniform(68.0, 76.0), melts, None, 0.93 if wet else 0.0)


def out_of_the_bath(rng: Random) -> Drawn:
    """A phase lifted out of its bath half-way: it never gets there."""
    drawn = water_in_a_bath(rng) if rng.random() < 0.5 else wax_in_a_bath(rng)

    def lift(pot: Pot) -> None:
        pot.around = pot.air

    return replace(drawn, change=lift)


FAMILIES: dict[str, Callable[[Random], Drawn]] = {
    "emulsion kept stirred, setting": kept_stirred,
    "emulsion stirred now and then": stirred_now_and_then,
    "wax phase in a bath": wax_in_a_bath,
    "wax phase on a plate": wax_on_a_plate,
    "water phase in a bath": water_in_a_bath,
    "water phase on a plate": water_on_a_plate,
    "small pot heating fast": small_pot_fast,
    "plain cup, with or without a lid": plain_cup,
    "emulsion put into ice half-way": emulsion_into_ice,
    "lid put on or taken off": lid_goes_on_or_off,
    "stirring stops half-way": stirring_stops,
    "out of the bath half-way": out_of_the_bath,
}
