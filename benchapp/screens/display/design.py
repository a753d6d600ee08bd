"""The one page of design values: colours by meaning. No Kivy."""

from __future__ import annotations

RGB = tuple[float, float, float]


def rgb(code: str) -> RGB:
    """A colour from "#rrggbb", each part 0 to 1."""
    return tuple(int(code[i : i + 2], 16) / 255 for i in (1, 3, 5))  # type: ignore[return-value]


SAND = rgb("#F7F3E9")  # the ground everything lies on
SHELL = rgb("#FFFDF8")  # raised: buttons, cards
WET_SAND = rgb("#D9CFBA")  # empty vessel, track
DRIFT = rgb("#7A7261")  # outlines of shapes: 3:1 and more on SAND
INK = rgb("#13242B")
SLATE = rgb("#3B4A50")  # second text, 7:1 on SAND
TIDE = rgb("#0A5364")  # what fills; the main action
KELP = rgb("#1C5A32")  # in band, done
MUSSEL = rgb("#23407A")  # below, still to come
CORAL = rgb("#8A1F14")  # above, trouble
FOAM = rgb("#FFFFFF")

#: Signal words of ANSI Z535 with the colours of that standard: (ground, text).
SIGNAL = {
    "DANGER": (rgb("#A3121B"), FOAM),
    "WARNING": (rgb("#F58A1F"), rgb("#000000")),
    "CAUTION": (rgb("#FFD200"), rgb("#000000")),
    "NOTICE": (rgb("#17458F"), FOAM),
}
#: Chemicals carry the safety data sheet's own word on plain ground, never a colour of the physical scheme.
SHEET_WORD = (INK, FOAM)

#: How a reading stands: colour and the shape that says the same without it.
STANDING = {
    "below": (MUSSEL, "up"),
    "in band": (KELP, "tick"),
    "above": (CORAL, "down"),
    "far above": (CORAL, "stop"),
    "waiting": (SLATE, "dots"),
    "moving": (SLATE, "dots"),
    "at rest": (KELP, "tick"),
    "not written yet": (SLATE, "dots"),
    "no reading": (CORAL, "gap"),
    "out of band": (CORAL, "stop"),
    "": (INK, ""),
}
