"""The guard before a make's buttons, without a window: what made-up contacts press there.

The layout is that of a moment with a plain yes on 10 inches: the yes, a second choice, and what every moment offers. A
press on one of the first three picks it; the bar, held, says it (benchapp/screens/widgets/hold_to_confirm.py).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from random import Random

from wet_glass import FRAME_S, GLASS_MM, Contact, drip, finger, happenings, single, sleeve, splash, wipe

from benchapp.screens.display.sizes import Panel, Sizes
from benchapp.screens.input.touch_guard import FILL_S, WITHIN_S, TouchGuard
from benchapp.screens.widgets.confirm_place import place_for

#: In mm: left, low, right, top. The first two tell the make something, the others open a sheet or hold.
BUTTONS = {
    "yes": (150.0, 2.0, 215.0, 22.0), "other": (98.0, 2.0, 148.0, 22.0), "hold": (66.0, 2.0, 96.0, 22.0),
    "more": (34.0, 2.0, 64.0, 22.0), "wipe": (2.0, 2.0, 32.0, 22.0),
}  # fmt: skip
#: A glass on which a pixel is a millimetre.
IN_MM = Sizes.of(Panel("in millimetres", *GLASS_MM, 1.0, 3.0, 20.0))
FIRM = ("yes", "other", "hold")
WATER = {"splash": splash, "drip": drip, "single": single, "wipe": wipe, "sleeve": sleeve}


def bar_of(place: tuple[float, float]) -> tuple[float, float, float, float]:
    """Where the bar stands after a press there."""
    return place_for((*place, *place), IN_MM)


class Glass:
    """What touches it goes through the guard; ``heard`` is what came of it, (seconds, button, what)."""

    def __init__(self) -> None:
        self.guard = TouchGuard()
        self.heard: list[tuple[float, str, str]] = []
        self._meant: dict[object, str | None] = {}
        self._at_s = 0.0
        self._picked: tuple[str, tuple[float, float, float, float], float] | None = (
            None  # its bar, until when
        )

    def play(self, contacts: Iterable[Contact], end_s: float) -> None:
        """These contacts, and the glass drawn 60 times a second until then while anything is near."""
        for at_s, what, key, place in happenings(list(contacts)):
            self._draw_until(at_s)
            if what == "down":
                self.guard.down(key, at_s, place)
                self._meant[key] = self._on(place)
                if self._meant[key] != "bar":
                    self._picked = None  # whatever else touches the glass takes the bar away
            elif what == "move":
                self.guard.move(key, place)
            elif not self.guard.up(key, at_s, place) or self._on(place) != self._meant[key]:
                self._meant.pop(key, None)
        self._draw_until(end_s)

    def _on(self, place) -> str | None:
        drawn = {"bar": self._picked[1], **BUTTONS} if self._picked else BUTTONS
        return next(
            (n for n, (a, b, c, d) in drawn.items() if a <= place[0] <= c and b <= place[1] <= d), None
        )

    def _draw_until(self, at_s: float) -> None:
        start = max(self._at_s, at_s - 1.0)  # nothing is left to settle after a second
        for n in range(int((at_s - start) / FRAME_S) + 1):
            self._look(min(start + n * FRAME_S, at_s))
        self._at_s = max(at_s, self._at_s)

    def _look(self, at_s: float) -> None:
        if self._picked and at_s > self._picked[2]:
            self._picked = None
        for stand in self.guard.settled(at_s):
            button = next((b for k in stand.keys if (b := self._meant.get(k))), None)
            picked, self._picked = self._picked, None
            if button == "bar":
                if stand.lasted_s >= FILL_S and picked:
                    self.heard.append((at_s, picked[0], "said"))
                else:
                    self._picked = picked
            elif button in FIRM:
                self._picked = (button, bar_of(stand.at_mm), at_s + WITHIN_S)
                self.heard.append((at_s, button, "picked"))
            elif button is not None:
                self.heard.append((at_s, button, "opened"))


def pressed_by(kind: str, chance: Random, times: int) -> Counter:
    """How many of so many splashes (or drips ...), each on dry glass, pressed what: "said", "picked", "opened"."""
    out: Counter = Counter()
    for _ in range(times):
        glass = Glass()
        contacts = WATER[kind](chance, 10.0)
        glass.play(contacts, max(c.up_s for c in contacts) + 1.0)
        out.update({what for _, _, what in glass.heard})
    return out


def answered(chance: Random, times: int) -> tuple[int, int]:
    """Deliberate answers, two presses each, and single taps on "more": how many of so many were not heard once."""
    missed_answers = missed_taps = 0
    for _ in range(times):
        glass = Glass()
        place = inside(BUTTONS["yes"], chance)
        first = finger(chance, 10.0, place)
        again = max(c.up_s for c in first) + 0.25 + chance.uniform(0.0, 1.0)  # the bar is seen and reached
        second = finger(chance, again, inside(bar_of(place), chance), FILL_S)
        glass.play([*first, *second], 14.0)
        missed_answers += [b for _, b, what in glass.heard if what == "said"] != ["yes"]
        glass = Glass()
        glass.play(finger(chance, 10.0, inside(BUTTONS["more"], chance)), 12.0)
        missed_taps += [b for _, b, _ in glass.heard] != ["more"]
    return missed_answers, missed_taps


def inside(box: tuple[float, float, float, float], chance: Random) -> tuple[float, float]:
    """Somewhere on a button, not at its very edge."""
    left, low, right, top = box
    return chance.uniform(left + 6.0, right - 6.0), chance.uniform(low + 6.0, top - 6.0)


if __name__ == "__main__":
    import sys

    for kind in WATER:
        print(kind, pressed_by(kind, Random(41), int(sys.argv[1])))
    print("missed", answered(Random(42), int(sys.argv[1])))
