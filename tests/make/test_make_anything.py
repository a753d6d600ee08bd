"""Whatever is put to a make, in whatever order: it never breaks, the journal is the whole truth, and nothing that can
hurt is begun before its caution was acknowledged."""

from __future__ import annotations

from random import Random

import pytest
from bench_by_hand import SCALES

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.folding import fold
from benchapp.make.inputs import (
    ClockSet,
    Degrees,
    Grams,
    Hold,
    LotOnHand,
    NoNumber,
    Pedal,
    PedalDown,
    PhRead,
    Press,
    Resume,
    Resumed,
    Scanned,
    Sign,
    Skip,
    Store,
    TakeBack,
    Tick,
    TypeValue,
)
from benchapp.make.outline import outline_of
from benchapp.make.plan_making import make_plan
from benchapp.make.view_building import view_model_of
from procedures.cautions import cautions_for
from procedures.reading import read_procedure
from procedures.shelf import find, shipped

WALK_S, LONG_WALK_S = 4_000.0, 10_000.0
BENCH = (*SCALES, ev.DeviceFacts("meter", "ph meter", ("ph",)))
#: The kinds of step after which a second person signs.
WITNESSED = ("weigh", "combine")


class Anybody:
    """Presses, types, pours, warms and breaks things at random, now and then what would really be next."""

    def __init__(self, name: str, seed: int) -> None:
        self.chance = Random(f"{name}/{seed}")
        self.procedure = read_procedure(find(name)).procedure
        self.make = Make(make_plan(self.procedure, self.procedure.default_batch_g, BENCH, WITNESSED))
        self.events: list[ev.Event] = []
        self.now = 0.0
        self.gross = {"big": 0.0, "fine": 0.0}
        self.temps = {"probe 1": 21.0, "probe 2": 21.0}
        self.asides = 0
        self.refused: set[str] = set()
        self.acknowledged: set[tuple[str, str]] = set()
        self.hazards = {
            s.key: {(s.key, c.key) for c in cautions_for(s, self.procedure) if c.serious}
            for s in self.procedure.steps
        }
        self.commit([
            ev.MakeStarted(
                at_s=0.0, batch="b", maker="Mara Lind", procedure="p", procedure_sha256="", procedure_text="",
                batch_g=self.procedure.default_batch_g, devices=BENCH, role="helper", witness=WITNESSED,
            )
        ])  # fmt: skip
        store = tuple(self.lots())
        self.refused = {x.lot for x in store if x.why_not}
        self.give(Store(0.0, store))
        self.give(Tick(0.0))

    def lots(self):
        """Two lots of most materials, some of them not to be used, none of a few."""
        by_material = {x.material.key: x for x in self.procedure.formula.lines}
        for line in by_material.values():
            for n in range(self.chance.choice((0, 1, 2, 2))):
                why = self.chance.choice(("", "", "It has not been released."))
                yield LotOnHand(f"{line.material.key}-{n}", line.material.key, line.name, 500.0, why_not=why)

    def commit(self, events):
        for event in events:
            if isinstance(event, ev.CautionAcknowledged):
                self.acknowledged.add((event.step, event.caution))
            if isinstance(event, ev.ActBegan) and event.act != "cautions":
                assert self.hazards[event.step] <= self.acknowledged, event
            self.asides += isinstance(event, ev.SteppedAside)
            if isinstance(event, ev.Signed) and self.make.act().key == "witness":
                assert event.proof == "pin"
                assert event.who != "Mara Lind"
            if isinstance(event, ev.LotTaken) and event.lot in self.refused:
                assert "lot not usable" in [e.kind for e in events if isinstance(e, ev.DeviationNoted)]
        self.events += events
        self.make.apply(events)

    def give(self, given):
        self.commit(self.make.take(given))
        for _ in range(200):
            more = self.make.follow(given.at_s)
            if not more:
                return
            self.commit(more)
        pytest.fail(f"it never comes to rest at {self.make.state.prompt}")

    def second(self):
        """A second of the bench: readings ten times and once, then time, then perhaps a person."""
        chance = self.chance
        if chance.random() < 0.25:
            self.move()
        for n in range(10):
            for device, gross in self.gross.items():
                self.give(Grams(self.now + n / 10, device, gross, chance.choice((True, None)), False))
        for probe, temp in self.temps.items():
            jump = chance.uniform(-20.0, 20.0) if chance.random() < 0.002 else 0.0
            self.temps[probe] = min(max(temp + chance.gauss(self.drift(), 0.05) + jump, 5.0), 95.0)
            self.give(Degrees(self.now + 0.9, "thermo", probe, self.temps[probe]))
        self.give(
            PhRead(
                self.now + 0.95, "meter", round(5.5 + chance.gauss(0.0, 0.02 if self.now % 60 else 1.0), 2)
            )
        )
        self.now += 1.0
        self.give(Tick(self.now))
        if chance.random() < 0.5:
            self.give(self.person())

    def drift(self):
        """Kelvin a second: what is in the bath warms, a batch cools, everything else hangs about the room."""
        verbs = {
            step.kind for step in self.procedure.steps if step.key in (self.make.state.step, self.waited)
        }
        mean = sum(self.temps.values()) / 2
        return 0.1 if "heat" in verbs and mean < 77.0 else -0.1 if mean > 21.0 else 0.0

    @property
    def waited(self):
        waiting = self.make.state.waiting
        return waiting.step if waiting is not None else ""

    def move(self):
        """Something comes on a scale, is poured, or is taken away; often what is wanted."""
        view, chance = view_model_of(self.make, self.now), self.chance
        want = view.act_view.want
        device = (
            want.device if want is not None and want.device in self.gross else chance.choice(("big", "fine"))
        )
        known = self.make.state.ledger.vessels.get(want.vessel) if want is not None else None
        base = known.gross_g if known is not None and known.gross_g is not None else None
        rough = (
            self.procedure.vessels[want.vessel].empty_g
            if want and want.vessel in self.procedure.vessels
            else None
        )
        right = base if base is not None else rough or 50.0
        if want is not None and want.verb in ("pour", "remove") and chance.random() < 0.7:
            right += want.amount
        odd = chance.choice((0.0, right / 2, right + 5.0, self.gross[device] + 0.3))
        self.gross[device] = round(right if chance.random() < 0.7 else odd, 2)

    def person(self):
        view, chance = view_model_of(self.make, self.now), self.chance
        prompt = view.prompt if chance.random() < 0.9 else "somewhere/else#1"
        choices = [
            Press(self.now, prompt, c.word, "so it was" if c.reason else "") for c in view.act_view.choices
        ]
        if any(c.sign for c in view.act_view.choices):
            who, role = chance.choice(
                (("Mara Lind", "helper"), ("Ole Brandt", "maker"), ("Ina Voss", "releaser"))
            )
            choices += [Sign(self.now, prompt, who, role, chance.choice(("pin", "")))] * 3
        rare = [
            Scanned(self.now, prompt, chance.choice([x.lot for x in self.make.watch.lots] or ["?"])),
            Hold(self.now, "the door"), Resume(self.now), TakeBack(self.now, prompt), Resumed(self.now, 20.0),
            ClockSet(self.now, 60.0, 0.0), PedalDown(self.now, prompt),
            Pedal(self.now, prompt, chance.random() < 0.5),
            NoNumber(self.now, chance.choice(("big", "fine", "thermo")), None, "port gone", "It is gone.", True),
            NoNumber(self.now, "thermo", "probe 1", "open probe", "probe 1 is open.", False),
        ]  # fmt: skip
        if chance.random() < 0.004:
            return Skip(self.now, prompt, "not today")
        if view.act_view.ask is not None:
            rare.append(TypeValue(self.now, prompt, round(chance.uniform(view.act_view.ask.low, 100.0), 1)))
        return chance.choice(choices) if choices and chance.random() < 0.85 else chance.choice(rare)


def holds(anybody):
    """What is true of a make at every instant."""
    state = anybody.make.state
    waiting = state.waiting
    if waiting is not None:
        assert waiting.step not in state.steps_done
        assert state.step != waiting.step
        assert anybody.make.waiting(anybody.now) is not None
    assert len(state.steps_done) == len(set(state.steps_done)), "no step is done twice"
    view_model_of(anybody.make, anybody.now)
    make = anybody.make
    assert make.act() == make.agenda.act(state), "the act is that of the last event"
    assert make.outline() == outline_of(make.agenda, make.context(), make.act()), (
        "nothing but an event changes the outline"
    )


def walked(name, seed, seconds=WALK_S):
    anybody = Anybody(name, seed)
    while anybody.now < seconds and not anybody.make.state.over:
        anybody.second()
        holds(anybody)
    folded, live = vars(fold(anybody.events)), vars(anybody.make.state)
    assert {k for k in folded if k != "ledger" and folded[k] != live[k]} == set(), (
        "the journal is the whole truth"
    )
    assert folded["ledger"].vessels == live["ledger"].vessels
    return anybody


#: Those that have nearly all kinds of step between them; the others are walked by hand.
OFTEN = ("oat-hand-lotion", "driftwood-conditioner", "tide-pool-gel")


@pytest.mark.parametrize("name", OFTEN)
def test_whatever_is_put_to_it(name):
    walked(name, 2)


@pytest.mark.by_hand
@pytest.mark.parametrize("name", shipped())
def test_whatever_is_put_to_it_many_times(name):
    asides = sum(walked(name, seed, LONG_WALK_S).asides for seed in range(2, 22))
    assert asides or name not in ("tide-pool-gel", "dune-rose-emulsion"), "weighing ahead was among it"
