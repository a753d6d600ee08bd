"""What simulated hands have done of what the view wants, and how well they do it."""

from __future__ import annotations

from dataclasses import dataclass

#: Mass of an empty bottle, in grams (invented for the demo).
BOTTLE_G = 18.0


@dataclass
class TaskProgress:
    """At one prompt; ``skill`` 0 to 1: how near the hand stops at a target."""

    skill: float
    begun: bool = False
    done: bool = False

    def anew(self) -> None:
        """Another prompt: nothing of it is done yet."""
        self.begun = self.done = False

    def once(self) -> bool:
        """True the first time at this prompt; afterwards the thing counts as done."""
        first = not self.begun
        self.begun = self.done = True
        return first

    def is_done(self) -> None:
        """What was wanted by hand is done, so that a yes would be the truth."""
        self.done = True
