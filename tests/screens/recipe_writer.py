"""A finger that writes recipes, and counts its touches."""

from __future__ import annotations

from pilot import Pilot

from benchapp.screens.widgets.keypad import Keypad
from benchapp.screens.widgets.letter_pad import LetterPad

MOST_TOUCHES_A_LINE = 8


class Writer(Pilot):
    """A pilot whose touches are counted."""

    touches = 0

    def touch(self, x, y, length_s=0.1):
        self.touches += 1
        super().touch(x, y, length_s)

    @property
    def desk(self):
        return self.shop.recipe_desk()

    def words(self):
        from benchapp.screens.widgets.text_label import TextLabel

        said = " ".join(w.text for w in self.page.walk() if isinstance(w, TextLabel))
        return said.replace("\u00a0", " ")

    def go(self, start):
        """Press what begins so, on whichever page of it."""
        for _ in range(9):
            found = next(
                (label for label in self.presses() if label.casefold().startswith(start.casefold())), None
            )
            if found is not None:
                self.press(found)
                return
            self.turn_page()
        raise AssertionError(f"no press begins with {start!r}: {list(self.presses())}")

    def keys(self, digits):
        for digit in digits:
            self.press(digit)
        self.press("Enter")

    def write(self, text):
        assert isinstance(self.page, LetterPad)
        for sign in text:
            self.press("Space" if sign == " " else sign.upper())
        self.press("Enter")

    def add(self, material, share):
        """One ingredient, from wherever the one before has led to."""
        before = self.touches
        if "Add" in self.presses():
            self.press("Add")
        if material[0] in self.presses():  # many are on the shelf
            self.press(material[0])
        if not isinstance(self.page, Keypad):  # others begin with that letter, or few are there at all
            self.go(material)
        if share == "rest":
            self.press("The rest")
        else:
            self.keys(share)
        assert self.touches - before <= MOST_TOUCHES_A_LINE, material
