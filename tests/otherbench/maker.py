"""A maker at the other bench, who reads what is asked and does it; a test steps in where it goes wrong."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from benchapp.make.inputs import Press, TypeValue
from otherbench.bench import STEP_S, OtherBench
from otherbench.scale import Pouring, Vessel

#: Seconds before a hand moves or a finger presses.
REACT_S = 1.2
#: Seconds more until the display is looked at after a pour.
SETTLE_S = 0.8
#: A display stands while it changes by no more than this, in grams, for so long.
STANDS_G, STANDS_S = 0.11, 1.5
#: What a maker says who did what was asked, in the order of preference.
SAYS = ("meter", "yes", "understood", "start", "sign", "pan is empty", "resume", "it is", "take")
#: What stays in an emptied vessel, in grams; of very little, a share.
CLINGS_G, CLINGS_SHARE = 0.1, 0.005


class Maker:
    """Does what the view asks. ``keeps`` choices are left to the test; ``scale_of`` says where a vessel stands."""

    def __init__(self, bench: OtherBench, keeps: tuple[str, ...] = ()) -> None:
        self.bench = bench
        self.keeps = set(keeps)
        self.asked: list[tuple[str, str]] = []  # instruction, choice: every question that was answered
        self._prompt, self._since_s, self._acted = "", 0.0, False
        self._shown: float | None = None
        self._stood_s = 0.0

    def until(self, holds: Callable[[], bool], within_s: float = 3600.0, idle: bool = False) -> None:
        """Go on as asked (or only look on, ``idle``) until something is so. Fails where it never is."""
        end_s = self.bench.now_s + within_s
        while self.bench.now_s < end_s:
            self.bench.step(self.pace_s())
            self._look()
            if holds():
                return
            if not idle:
                self.obey()
        act_view = self.bench.view.act_view
        pytest.fail(
            f"never so; stands at {self.bench.view.prompt}: {act_view.instruction} {act_view.not_yet}"
        )

    def pace_s(self) -> float:
        """How long the next step of the world may be."""
        return STEP_S

    def _look(self) -> None:
        """How long the display has stood: nobody pours by digits that run."""
        live = self.bench.view.act_view.live
        shown = live[0].value if live else None
        if shown is None or self._shown is None or abs(shown - self._shown) > STANDS_G:
            self._shown, self._stood_s = shown, self.bench.now_s

    def wait(self, seconds: float) -> None:
        """Look on with the hands in the lap."""
        end_s = self.bench.now_s + seconds
        while self.bench.now_s < end_s:
            self.bench.step()

    def pouring(self, line: str) -> Callable[[], bool]:
        """Whether the pour of that line has begun."""

        def holds() -> bool:
            act = self.bench.session.make.act()
            begun = self.bench.session.make.state.progress.baseline_g is not None
            return act is not None and act.key == f"pour {line}" and begun

        return holds

    def done(self, line: str) -> Callable[[], bool]:
        """Whether that line was weighed."""
        return lambda: line in self.bench.session.make.state.weights

    def press(self, choice: str, reason: str = "") -> None:
        self.asked.append((self.bench.view.act_view.instruction, choice))
        self.bench.session.put(Press(self.bench.now_s, self.bench.view.prompt, choice, reason))
        self.bench.view = self.bench.session.view()

    def type(self, value: float) -> None:
        self.bench.session.put(TypeValue(self.bench.now_s, self.bench.view.prompt, value))
        self.bench.view = self.bench.session.view()

    def offered(self) -> set[str]:
        return {str(c.typed) for c in self.bench.view.act_view.choices}

    def pour(self, line: str, vessel: str, grams: float, g_per_s: float = 0.0) -> None:
        rate = g_per_s or min(max(grams / 4.0, 0.05), 60.0)
        self.bench.pourings.append(Pouring(line, self.bench.vessel(vessel), grams, rate))

    def lift(self, scale: str) -> None:
        self.bench.scale(scale).on = None

    def put(self, scale: str, vessel: str) -> None:
        for other in self.bench.scales():
            if other.on is not None and other.on.key == vessel:
                other.on = None
        self.bench.scale(scale).on = self.bench.vessel(vessel)

    def obey(self) -> None:
        view = self.bench.view
        if view.prompt != self._prompt:
            self._prompt, self._since_s, self._acted = view.prompt, self.bench.now_s, False
        if self.bench.pourings:
            self._since_s = self.bench.now_s + SETTLE_S  # a display lags behind the hand
        if self.bench.now_s - self._since_s < REACT_S:
            return
        self._since_s = self.bench.now_s
        want = view.act_view.want
        if want is not None:
            self._hand(want, view)
        if self.bench.pourings:
            return
        for said in SAYS:
            if said in self.offered() - self.keeps:
                self.press(said)
                return

    def _hand(self, want, view) -> None:
        verb = str(want.verb)
        if verb == "put on":
            self.put(want.device, want.vessel)
        elif verb in ("lift", "empty pan", "clear tare"):
            self.lift(want.device)
            if verb == "clear tare":
                self.bench.scale(want.device).press_zero()
        elif verb == "pour" and view.act_view.live and view.act_view.live[0].value is not None:
            missing = want.amount - view.act_view.live[0].value
            if missing > 0 and self.bench.now_s - self._stood_s >= STANDS_S:
                self.pour(want.thing, want.vessel, missing)
        elif verb == "transfer" and not self._acted:
            self._acted = True
            origin = self.bench.vessel(want.thing)
            self.tip(origin, self.bench.vessel(want.vessel))
            for scale in self.bench.scales():
                if scale.on is origin:
                    scale.on = None

    def tip(self, origin: Vessel, into: Vessel) -> None:
        """All that does not cling to a vessel goes over."""
        clings_g = min(CLINGS_G, CLINGS_SHARE * origin.net_g)
        for line, grams in origin.take_out(origin.net_g - clings_g).items():
            into.contents_g[line] = into.contents_g.get(line, 0.0) + grams
