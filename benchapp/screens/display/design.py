"""The one page of design values: colours by meaning, for a bright room and for a dim one. No Kivy.

Pages read the names below when they draw; ``dress`` changes all of them at once, before a page is built.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

RGB = tuple[float, float, float]


def rgb(code: str) -> RGB:
    """A colour from "#rrggbb", each part 0 to 1."""
    return tuple(int(code[i : i + 2], 16) / 255 for i in (1, 3, 5))  # type: ignore[return-value]


@dataclass(frozen=True, slots=True)
class Palette:
    """Colours by meaning: text on its ground 7:1 and more, shapes 3:1."""

    SAND: RGB  # the ground everything lies on
    SHELL: RGB  # raised: buttons, cards
    WET_SAND: RGB  # empty vessel, track
    DRIFT: RGB  # outlines of shapes: 3:1 and more on SAND
    INK: RGB
    SLATE: RGB  # second text
    TIDE: RGB  # what fills; the main action
    KELP: RGB  # in band, done
    MUSSEL: RGB  # below, still to come
    CORAL: RGB  # above, trouble: never a state that is as it should be
    FOAM: RGB  # text on what is filled
    WRACK: RGB  # the second of two vessels


def _palette(*codes: str) -> Palette:
    return Palette(*(rgb(code) for code in codes))


#: For a workshop by day.
LIGHT = _palette(
    "#F7F3E9", "#FFFDF8", "#D9CFBA", "#7A7261", "#13242B", "#2C3A40", "#0A5364", "#1C5A32", "#23407A", "#8A1F14",
    "#FFFFFF", "#5C4A00",
)  # fmt: skip
#: For a dim room: a dark ground that dazzles nobody who looks up from a pot.
DIM = _palette(
    "#12191B", "#1B2528", "#3A4548", "#9AA5A3", "#F0EADB", "#C6C8BE", "#7CCBDD", "#86D6A0", "#AFC6F6", "#FFB0A4",
    "#0B1214", "#E3CC74",
)  # fmt: skip

SAND, SHELL, WET_SAND, DRIFT = LIGHT.SAND, LIGHT.SHELL, LIGHT.WET_SAND, LIGHT.DRIFT
INK, SLATE, TIDE, KELP = LIGHT.INK, LIGHT.SLATE, LIGHT.TIDE, LIGHT.KELP
MUSSEL, CORAL, FOAM, WRACK = LIGHT.MUSSEL, LIGHT.CORAL, LIGHT.FOAM, LIGHT.WRACK


def mixed(one: RGB, other: RGB, share: float) -> RGB:
    """So much of one colour, 0 to 1, and the rest of the other."""
    return tuple(share * a + (1 - share) * b for a, b in zip(one, other, strict=True))  # type: ignore[return-value]


def dress(palette: Palette) -> None:
    """Draw everything in these colours from now on."""
    globals().update({f.name: getattr(palette, f.name) for f in fields(Palette)})


#: Signal words of ANSI Z535 with the colours of that standard: (ground, text).
SIGNAL = {
    "DANGER": (rgb("#A3121B"), rgb("#FFFFFF")),
    "WARNING": (rgb("#F58A1F"), rgb("#000000")),
    "CAUTION": (rgb("#FFD200"), rgb("#000000")),
    "NOTICE": (rgb("#17458F"), rgb("#FFFFFF")),
}
#: How a reading stands: the name of its colour, and the shape that says the same without it. What points, points the
#: way the number has to go: up for below, down for above and for what cools.
STANDING = {
    "below": ("MUSSEL", "up"),
    "in band": ("KELP", "tick"),
    "above": ("CORAL", "down"),
    "far above": ("CORAL", "stop"),
    "cooling": ("MUSSEL", "down"),
    "waiting": ("SLATE", "dots"),
    "moving": ("SLATE", "dots"),
    "at rest": ("KELP", "tick"),
    "the pan is empty": ("SLATE", "dot"),
    "not written yet": ("SLATE", "dots"),
    "no reading": ("CORAL", "gap"),
    "out of band": ("MUSSEL", "dot"),
    "": ("INK", ""),
}


def standing(word: str) -> tuple[RGB, str]:
    """How a word is drawn: its colour as it is dressed now, and its shape."""
    name, shape = STANDING.get(word, STANDING[""])
    return globals()[name], shape


def curve_colour(number: int) -> RGB:
    """In which colour one of two vessels is drawn and its number is written, from 0: what others go into, then what goes in."""
    return (TIDE, WRACK)[number % 2]


def sheet_word() -> tuple[RGB, RGB]:
    """Chemicals carry the safety data sheet's own word on plain ground, never a colour of the physical scheme."""
    return INK, FOAM
