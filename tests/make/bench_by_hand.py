"""A make without ports: its inputs are given one by one, and time stands under the test's thumb."""

from __future__ import annotations

import dataclasses

from benchapp import events as ev
from benchapp.calculations.limits import DEFAULT_LAW
from benchapp.make.core import Make
from benchapp.make.inputs import Degrees, Grams, Press, Skip, Tick
from benchapp.make.plan_making import make_plan
from benchapp.make.state_machine import derived
from benchapp.make.view_building import view_model_of
from procedures.reading import read_procedure
from procedures.shelf import find

SCALES = (
    ev.DeviceFacts("big", "scale", ("mass",), 0.1, 3000.0, checked="2026-03-01"),
    ev.DeviceFacts("fine", "scale", ("mass",), 0.01, 200.0, checked="2026-03-01"),
    ev.DeviceFacts("thermo", "thermometer", ("probe 1", "probe 2")),
)


class Bench:
    """A make whose inputs are written down one by one, with time under the test's thumb."""

    simulated = False

    def __init__(
        self, devices=SCALES, procedure="oat-hand-lotion", batch_g=500.0, law=DEFAULT_LAW, rehearsal=False
    ):
        self.procedure = (
            read_procedure(find(procedure)).procedure if isinstance(procedure, str) else procedure
        )
        self.make = Make(make_plan(self.procedure, batch_g, devices, law=law))
        self.events, self.simulated = [], rehearsal
        self.now, self.shown = 0.0, {}
        self.commit([
            ev.MakeStarted(
                at_s=0.0, batch="b", maker="Mara Lind", procedure="p", procedure_sha256="", procedure_text="",
                batch_g=batch_g, devices=devices, rehearsal=rehearsal,
            )
        ])  # fmt: skip
        self.give(Tick(0.0))

    def commit(self, events):
        self.events += events
        self.make.apply(events)
        act = self.make.act()
        stands = derived(self.make.state, frozenset(act.devices) if act else frozenset())
        assert self.make.step_machine.state == stands, "the machine is no second truth"

    def give(self, given):
        if self.simulated and isinstance(given, Grams | Degrees):
            given = dataclasses.replace(given, simulated=True)
        self.now = given.at_s
        out = self.make.take(given)
        self.commit(out)
        while more := self.make.follow(given.at_s):
            self.commit(more)
            out = [*out, *more]
        return out

    def grams(self, value, device="big"):
        """A reading of a scale at rest, now."""
        return Grams(self.now, device, value, True, False)

    def press(self, choice, reason=""):
        self.now += 1.0
        return self.give(Press(self.now, self.make.state.prompt, choice, reason))

    def stand(self, grams, seconds=4.0, device="big"):
        """Poured within two seconds, then the scale shows the same value; ten readings a second."""
        out, before = [], self.shown.get(device, grams)
        for n in range(1, 20 if abs(grams - before) > 1.0 else 0):
            self.now = round(self.now + 0.1, 3)
            on_the_way = round(before + (grams - before) * n / 20, 2)
            out += self.give(Grams(self.now, device, on_the_way, False, False))
        self.shown[device] = grams
        return [*out, *self.rest(grams, seconds, device)]

    def place(self, grams, seconds=4.0, device="big"):
        """A vessel is put down, and somebody says that it is the one asked for."""
        return [*self.stand(grams, seconds, device), *self.press("it is")]

    def at_the_first_pour(self):
        """The water pot (420 g) stands on the big scale, its water is in hand: nothing is poured yet."""
        self.to("02-weigh")
        self.stand(0.0)
        self.place(420.0)
        self.press("yes")
        self.stand(420.0)

    def rest(self, grams, seconds=4.0, device="big"):
        """The scale shows the same value ten times a second, from one reading to the next."""
        out = []
        for _ in range(int(seconds * 10)):
            self.now = round(self.now + 0.1, 3)
            out += self.give(Grams(self.now, device, grams, True, False))
        self.shown[device] = grams
        return out

    def to(self, step):
        """Leave out everything before a step."""
        while self.make.state.step != step:
            self.give(Skip(self.now, self.make.state.prompt, "not part of this test"))

    def to_the_heat(self, step="06-heat"):
        """What burns is away, the pots and their probes are in the bath."""
        self.to(step)
        while self.make.act().key != "heat":
            self.press("understood" if self.make.act().key == "cautions" else "yes")

    def jump(self, step):
        """Straight to the beginning of a step, everything before it done without a trace."""
        while self.make.state.step != step:
            self.commit([ev.StepFinished(at_s=self.now, step=self.make.state.step)])
            self.commit([ev.StepBegan(at_s=self.now, step=self.make.step_machine.next_step(self.make.state))])

    def weigh_everything(self, vessel="water-pot"):
        """Every line of the formula is in one vessel, as a person stated it."""
        for w in self.make.plan.weighings.values():
            self.commit([
                ev.WeightTaken(
                    at_s=self.now, step="02-weigh", act=f"pour {w.line.key}", line=w.line.key, vessel=vessel,
                    target_g=w.target_g, low_g=0.0, high_g=999.0, net_g=w.target_g, gross_g=None,
                    source=ev.Source.STATED, device="", checked=False,
                )
            ])  # fmt: skip

    @property
    def view(self):
        return view_model_of(self.make, self.now)


def kinds(events):
    return [type(e).__name__ for e in events]
