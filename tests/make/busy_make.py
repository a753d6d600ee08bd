"""A whole make in the core alone, on a simulated bench without ports, that can be left standing at any moment in bustle.

Where it is left standing, nobody at the bench does or says anything. What happens all the same is held against the same
make left standing just as long in peace: what only bustle brought about, nobody meant. Rates are made up (see bustle.py and
wet_glass.py); not tried on hardware.
"""

from __future__ import annotations

import copy
import math
import sys
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

sys.path.append(str(Path(__file__).parents[1] / "screens" / "input"))

from bustle import TOUCHES, VESSELS, how_many
from glass_trial import WATER, Glass

from benchapp import events as ev
from benchapp.make import inputs
from benchapp.make.core import Make
from benchapp.make.hands_free import plain_choice
from benchapp.make.plan_making import make_plan
from benchapp.make.view_building import view_model_of
from benchapp.rehearsal.answers import Answers
from benchapp.rehearsal.hands import Hands
from benchapp.rehearsal.store import invented_lots
from benchapp.runtime.session_start import facts_of
from drivers.simulated import DEFAULT_DEVICES, PH_METER
from drivers.simulated.simulated_scale import PanForce
from drivers.simulated.water import Air
from drivers.simulated.world import World

#: By these a make goes on, or holds for true what nobody said.
CONFIRMING = (
    ev.Confirmed, ev.WeightTaken, ev.CautionAcknowledged, ev.LotTaken, ev.Signed, ev.ActFinished, ev.StepFinished,
    ev.BottleFilled, ev.RemedyChosen, ev.MaterialRemoved, ev.PhTaken, ev.BurstDone, ev.StepSkipped, ev.ActTakenBack,
)  # fmt: skip
#: Times a minute on the glass.
GLASS = {"splash": 0.2, "drip": 0.05, "single": 0.2, "wipe": 0.05, "sleeve": 0.05}


@dataclass
class Lies:
    """Something that weighs on a pan for a while, in grams; a hand trembles."""

    at_s: float
    until_s: float
    grams: float
    trembles: bool = False

    def force_g(self, now_s: float) -> float:
        if not self.at_s <= now_s < self.until_s:
            return 0.0
        tremor = 0.03 * math.sin(9.1 * now_s) + 0.05 * math.sin(2.3 * now_s) if self.trembles else 0.0
        return self.grams * (1.0 + tremor)


@dataclass
class Draught:
    """Moving air on a pan."""

    at_s: float
    until_s: float

    def force_g(self, now_s: float) -> float:
        blows = self.at_s <= now_s < self.until_s
        return 0.4 * math.sin(2.1 * now_s) + 0.2 * math.sin(0.7 * now_s) + 1e-3 if blows else 0.0


@dataclass
class Workbench:
    """What the simulated hands need of a bench."""

    world: World

    @property
    def now_s(self) -> float:
        return self.world.now_s


class BusyMake:
    """One make, its bench and the hands at it."""

    def __init__(self, procedure, seed: int = 1) -> None:
        devices = (*DEFAULT_DEVICES, PH_METER)
        scales = [(d.name, d.capacity_g, d.readability_g) for d in devices if d.kind == "scale"]
        self.world = World(seed, Air(21.0, 0.5, 0.0), scales, ["probe 1", "probe 2"], [PH_METER.name])
        bench = Workbench(self.world)
        self.hands = Hands(bench, procedure, seed)
        self.answers = Answers(bench, self.hands)
        facts = tuple(facts_of(d, "2026-03-01") for d in devices)
        self.make = Make(make_plan(procedure, procedure.default_batch_g, facts))
        self.events: list[ev.Event] = []
        self._spoke_s: dict[str, float] = {}
        self._commit([
            ev.MakeStarted(at_s=0.0, batch="b", maker="Mara Lind", procedure=procedure.key, procedure_sha256="",
                           procedure_text="", batch_g=procedure.default_batch_g, devices=facts, rehearsal=True)
        ])  # fmt: skip
        self.make.take(inputs.Store(0.0, invented_lots(procedure)))
        self.give(inputs.Tick(0.0))

    def _commit(self, events) -> None:
        self.events += events
        self.make.apply(events)

    def give(self, given) -> None:
        """One input, and all that follows from it."""
        self._commit(self.make.take(given))
        while following := self.make.follow(given.at_s):
            self._commit(following)

    def view(self):
        return view_model_of(self.make, self.world.now_s)

    def pass_time(self) -> None:
        """One step of the world, and what the devices then say."""
        world = self.world
        busy = world.busy or any(s.forces for s in world.scales.values())
        world.step(0.1 if busy else 1.0)
        now = world.now_s
        for scale in world.scales.values():
            period = 1.0 if scale.settled and not scale.rough else 0.1
            shown = scale.display_g()
            if shown is not None and self._due(scale.name, period):
                self.give(
                    inputs.Grams(now, scale.name, round(shown, 2), scale.stable, scale.net, simulated=True)
                )
        for probe in world.probes.values():
            shown = probe.reading_c()
            if shown is not None and self._due(probe.name, 1.0):
                self.give(inputs.Degrees(now, "thermometer", probe.name, round(shown, 1), simulated=True))
        for name, electrode in world.ph_probes.items():
            if self._due(name, 1.0):
                self.give(inputs.PhRead(now, name, round(electrode.reading(), 2), simulated=True))
        self.give(inputs.Tick(now))

    def _due(self, who: str, period_s: float) -> bool:
        due = self.world.now_s - self._spoke_s.get(who, -math.inf) >= period_s - 1e-6
        if due:
            self._spoke_s[who] = self.world.now_s
        return due

    def work(self) -> None:
        """A step with somebody there who does and says what is wanted."""
        self.hands.work(self.view())
        self.pass_time()
        view = self.view()
        said = None if view.over else self.answers.at(view)
        if said is None:
            return
        now = self.world.now_s
        if said.value is not None:
            self.give(inputs.TypeValue(now, view.prompt, said.value))
        else:
            self.give(inputs.Press(now, view.prompt, said.choice, said.reason))


@dataclass
class Left:
    """A make left standing: what happened to it, how often, and what nobody meant."""

    minutes: float = 0.0
    counts: Counter = field(default_factory=Counter)
    false: list[tuple[str, str]] = field(default_factory=list)  # (moment, what was confirmed)
    placed: list[tuple[str, str]] = field(
        default_factory=list
    )  # something else taken for the vessel asked for
    last: list[str] = field(default_factory=list)

    def add(self, other: Left) -> None:
        self.minutes += other.minutes
        self.counts += other.counts
        self.false += other.false
        self.placed += other.placed


def whole(procedures, minutes: float, seed: int) -> Left:
    """So many minutes of bustle in all, shared out evenly over every moment of a make of each procedure."""
    views = sum(1 for p in procedures for _ in standing(p, seed))
    out = Left()
    for procedure in procedures:
        for name, busy in standing(procedure, seed):
            chance = Random(f"{seed} {procedure.key} {name}")
            left_min = minutes / views
            while (
                left_min > 1e-6
            ):  # after something was confirmed the rest is stood through at the same moment
                left = left_standing(busy, name, left_min, chance)
                out.add(left)
                left_min -= left.minutes
    return out


def standing(procedure, seed: int = 1, limit_s: float = 12 * 3600.0):
    """Every moment of a whole make that differs in act, stage or how a pour stands: (name, the make then)."""
    busy, seen = BusyMake(procedure, seed), set()
    while not busy.make.state.over:
        assert busy.world.now_s < limit_s, f"{procedure.key} stands at {busy.view().prompt}"
        busy.work()
        view = busy.view()
        name = f"{view.prompt.partition('#')[0]} {view.act_view.stage} {_how_far(view)}"
        if name not in seen and not view.over:
            seen.add(name)
            yield name, busy


def _how_far(view) -> str:
    """How a pour stands: not begun, on the way, nearly there."""
    picture = view.act_view.picture
    net, low = getattr(picture, "net_g", None), getattr(picture, "low_g", None)
    if net is None or not low:
        return ""
    return "begun" if net < 0.2 * low else "half" if net < 0.8 * low else "near" if net < low else "in"


def left_standing(busy: BusyMake, name: str, minutes: float, chance: Random) -> Left:
    """Leave a copy of it in bustle, another in peace, and compare."""
    out = Left(minutes)
    peace, bustle = copy.deepcopy(busy), copy.deepcopy(busy)
    begun = len(busy.events)
    for one in (peace, bustle):
        one.world.stop_hands()
    end_s = busy.world.now_s + 60.0 * minutes
    while peace.world.now_s < end_s:
        peace.pass_time()
    meant = _confirmed(peace.events[begun:])
    agenda = _agenda(bustle, end_s, chance)
    while bustle.world.now_s < end_s:
        while agenda and agenda[0][0] <= bustle.world.now_s:
            _, kind, scale = agenda.pop(0)
            out.counts[kind] += 1
            out.last = [*out.last[-4:], f"{kind} at {bustle.world.now_s:.0f} s on the {scale or 'glass'}"]
            if scale:
                _happen(bustle.world.scales[scale], kind, bustle.world.now_s, chance)
            else:
                _on_the_glass(bustle, kind, chance)
        bustle.pass_time()
        beyond = _confirmed(bustle.events[begun:]) - meant
        if beyond:
            said = [(name, f"{kind} {step}/{act} after {out.last}") for kind, step, act in beyond]
            only_placed = all("/vessel" in what for _, what in said)
            out.false, out.placed = ([], said) if only_placed else (said, [])
            out.minutes = (bustle.world.now_s - busy.world.now_s) / 60.0
            break
    return out


def _confirmed(events) -> Counter:
    return Counter(
        (type(e).__name__, getattr(e, "step", ""), getattr(e, "act", ""))
        for e in events
        if isinstance(e, CONFIRMING)
    )


def _on_the_glass(busy: BusyMake, kind: str, chance: Random) -> None:
    """Water or cloth on the glass: what it says there, it says to the make."""
    glass = Glass()
    contacts = WATER[kind](chance, 10.0)
    glass.play(contacts, max(c.up_s for c in contacts) + 1.0)
    for _, button, what in glass.heard:
        view, now = busy.view(), busy.world.now_s
        if what != "said":
            continue
        if button == "hold":
            busy.give(inputs.Hold(now, ""))
        elif choice := plain_choice(view.act_view):
            busy.give(inputs.Press(now, view.prompt, choice.word))


def _agenda(busy: BusyMake, end_s: float, chance: Random) -> list[tuple[float, str, str]]:
    """All that will happen, in order: (seconds, what, to which scale; "" on the glass)."""
    start_s = busy.world.now_s
    minutes = (end_s - start_s) / 60.0
    rates = {(kind, ""): rate for kind, rate in GLASS.items()}
    for scale in busy.world.scales.values():
        kinds = TOUCHES | (VESSELS if scale.standing is None else {})
        rates |= {(kind, scale.name): rate for kind, rate in kinds.items()}
    return sorted(
        (chance.uniform(start_s, end_s), kind, scale)
        for (kind, scale), rate in rates.items()
        for _ in range(how_many(chance, rate * minutes))
    )


def _happen(scale, kind: str, at_s: float, chance: Random) -> None:
    """The same things that bustle.Pan knows, on a scale of the bench."""

    def set_down(at, grams, lasts_s):
        scale.forces += [PanForce(at, 0.25 * grams, 0.1), PanForce(at + lasts_s - 0.1, 0.05 * grams, 0.08)]
        scale.forces.append(Lies(at, at + lasts_s, grams))

    if kind == "knock":
        scale.forces.append(PanForce(at_s, chance.expovariate(1 / 150.0), 0.08))
    elif kind == "bounce":
        grams = chance.expovariate(1 / 300.0)
        for n in range(3):
            scale.forces.append(
                PanForce(at_s + n * chance.uniform(0.1, 0.3), grams * chance.uniform(0.3, 0.6) ** n, 0.08)
            )
    elif kind == "spoon":
        set_down(at_s, chance.uniform(5.0, 60.0), chance.uniform(0.5, 90.0))
    elif kind == "vessel":
        set_down(at_s, chance.uniform(80.0, 900.0), chance.uniform(2.0, 90.0))
    elif kind == "shuffle":
        grams = chance.uniform(80.0, 900.0)
        for _ in range(chance.randint(2, 3)):
            stands_s = chance.uniform(0.8, 3.0)
            set_down(at_s, grams, stands_s)
            at_s += stands_s + chance.uniform(0.3, 2.0)
    elif kind == "doubled":
        set_down(at_s, chance.uniform(80.0, 900.0), 20.0)
        set_down(at_s + chance.uniform(0.5, 1.5), chance.uniform(80.0, 900.0), 20.0)
    elif kind == "lean":
        scale.forces.append(Lies(at_s, at_s + chance.uniform(1.2, 10.0), chance.uniform(200.0, 1500.0), True))
    else:
        scale.forces.append(Draught(at_s, at_s + chance.uniform(10.0, 40.0)))
