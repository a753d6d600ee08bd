"""Simulated hands that fill bottles until no more comes out of the pot."""

from __future__ import annotations

from random import Random

from benchapp.make.view_model import ViewModel, Want
from benchapp.make.vocabulary import Verb
from benchapp.rehearsal.scenario import first_value
from benchapp.rehearsal.task_progress import BOTTLE_G, TaskProgress
from drivers.simulated import SimulatedBench

#: What cannot be got out of the batch pot, in grams.
POT_KEEPS_G = 3.0


class Filling:
    """What hands do with bottles on ``bench``."""

    def __init__(self, bench: SimulatedBench, task: TaskProgress, chance: Random) -> None:
        self._world = bench.world
        self._task = task
        self._random = chance

    def on(self, want: Want, view: ViewModel) -> None:
        standing = self._world.scale(want.device).standing
        if standing is not None and standing != want.thing:
            self._world.lift(want.device)
            return
        if self.is_out(view):
            self._task.is_done()
            return
        if want.thing not in self._world.vessels:
            self._world.add_vessel(want.thing, round(BOTTLE_G * self._random.uniform(0.98, 1.02), 2), 1000.0)
        if standing is None:
            self._world.put_on(want.device, want.thing)

    def fill(self, want: Want, view: ViewModel) -> None:
        net = first_value(view)
        if net is None or want.thing not in self._world.vessels or self.is_out(view):
            return
        if not self._world.scale(want.device).settled:
            return
        missing = want.amount - net
        if missing > 0:
            self._world.pour_from(want.vessel, want.thing, missing, self._task.skill)

    def is_out(self, view: ViewModel) -> bool:
        """Whether no more comes out of the pot than clings to it."""
        want = view.act_view.want
        if (
            want is None
            or view.step_kind != "fill"
            or want.vessel not in self._world.vessels
            or self._world.handlings
        ):
            return False
        left = self._world.vessel(want.vessel).net_g
        if want.verb == Verb.TYPE:
            return left < want.amount
        scale = self._world.scale(want.device)
        return left < POT_KEEPS_G and (want.verb == Verb.BOTTLE_ON or scale.settled)
