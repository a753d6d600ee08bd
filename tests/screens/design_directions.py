"""Three ways the glass could look, each on eight moments, as one sheet of pictures per direction:
``python tests/screens/design_directions.py [FOLDER]``. Sketches to choose by; the pages themselves are Kivy."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

WIDE, HIGH, SMALLER = 1280, 800, 3
SAND, SHELL, TRACK, LINE, INK, SLATE = "#F7F3E9", "#FFFDF8", "#D9CFBA", "#7A7261", "#13242B", "#3B4A50"
TIDE, KELP, MUSSEL, CORAL, PALE, FOAM = "#0A5364", "#1C5A32", "#23407A", "#8A1F14", "#BFD3CB", "#FFFFFF"
FONTS = Path(importlib.util.find_spec("kivy").origin).parent / "data" / "fonts"
MOMENTS = ("bench", "weigh", "heat", "cool", "pH", "remedy", "finish", "record")

PHASE = (
    ("Purified water", "376.0", 1),
    ("Glycerin", "15.0", 1),
    ("Chelator", "0.50", 2),
    ("Preservative", "4.50", 0),
)
REMEDIES = (
    ("Mix and keep", "500 g become 608 g"),
    ("Take 3.66 g out", "it is waste, mixed or not"),
    ("Accept 23.66 g", "over the limit of 21"),
)
RECORD = (
    ("Purified water", 376.0, 375.8, 0.4),
    ("Glycerin", 15.0, 15.1, 0.7),
    ("Sunflower oil", 35.0, 35.0, 0.5),
    ("Emulsifier", 10.0, 10.2, 0.95),
)
DEVICES = (
    ("bench scale", "0.0 g"),
    ("fine scale", "0.000 g"),
    ("water pot", "21.4 °C"),
    ("pH meter", "6.98"),
)


class Glass:
    """One moment, drawn in the pixels of the 10-inch panel."""

    def __init__(self) -> None:
        self.image = Image.new("RGB", (WIDE, HIGH), SAND)
        self.draw = ImageDraw.Draw(self.image)

    def say(self, x, y, words, size=40, ink=INK, bold=False, anchor="la"):
        face = ImageFont.truetype(str(FONTS / f"Roboto-{'Bold' if bold else 'Regular'}.ttf"), size)
        self.draw.text((x, y), words, fill=ink, font=face, anchor=anchor)

    def box(self, x, y, right, low, ground=SHELL, edge=None):
        self.draw.rectangle((x, y, right, low), fill=ground, outline=edge, width=3)

    def stroke(self, points, ink=INK, width=5):
        self.draw.line(points, fill=ink, width=width, joint="curve")

    def press(self, words, x=930, right=1240, y=664):
        self.draw.rounded_rectangle((x, y, right, y + 112), 16, fill=TIDE)
        self.say((x + right) / 2, y + 56, words, 48, FOAM, True, "mm")

    def mark(self, x, y, state, side=32):
        """Done, now, still to come."""
        if state == 1:
            self.draw.ellipse((x, y, x + side, y + side), fill=KELP)
            self.stroke([(x + 8, y + 17), (x + 14, y + 23), (x + 25, y + 9)], FOAM, 4)
        elif state == 2:
            self.draw.polygon([(x, y), (x + side, y + side / 2), (x, y + side)], fill=INK)
        else:
            self.draw.ellipse((x, y, x + side, y + side), outline=LINE, width=3)


# --- A: the long rule, in fixed places ---------------------------------------------------------------


def rule(g, y, at, band, labels, left=400, right=1240):
    """A rule across the work place with the band cut out: shares of its length."""
    g.box(left, y, right, y + 44, TRACK)
    low, high = (left + (right - left) * share for share in band)
    g.box(left, y, left + (right - left) * at, y + 44, TIDE)
    g.box(low, y - 18, high, y + 62, None, KELP)
    g.say(low - 6, y + 66, labels[0], 34, KELP, True, "ra")
    g.say(high + 6, y + 66, labels[1], 34, KELP, True, "la")


def rail(g, rows, head):
    g.box(0, 0, 360, HIGH, SHELL)
    g.say(28, 28, head, 36, SLATE, True)
    for n, (name, grams, state) in enumerate(rows):
        y = 100 + 84 * n
        g.mark(28, y, state)
        g.say(76, y - 6, name, 34, INK, state == 2)
        g.say(332, y + 30, grams, 30, SLATE, anchor="ra")


def read(g, number, unit, to_go, move, order):
    g.say(400, 24, order, 46, INK, True)
    g.say(400, 96, number, 190, INK, True)
    wide = g.draw.textlength(number, ImageFont.truetype(str(FONTS / "Roboto-Bold.ttf"), 190))
    g.say(420 + wide, 210, unit, 64, INK, True)
    g.say(1240, 112, to_go, 104, MUSSEL, True, "ra")
    g.say(1240, 224, "to go", 44, MUSSEL, True, "ra")
    g.say(400, 560, move, 100, INK, True)


def a_bench(g):
    rail(g, (("pH again", "today", 2), ("Winter cream", "sign", 0), ("Chelator", "9 g left", 0)), "Today")
    for n, (name, value) in enumerate(DEVICES):
        x, y = 400 + 430 * (n % 2), 40 + 290 * (n // 2)
        g.box(x, y, x + 410, y + 270, SHELL, TRACK)
        g.say(x + 24, y + 20, name, 38, SLATE, True)
        g.say(x + 24, y + 76, value, 84, INK, True)
        g.stroke([(x + 24 + 18 * i, y + 230 - (i * 7 % 5) * 4) for i in range(21)], TIDE, 4)
    g.press("Make a batch", 880)


def a_weigh(g):
    rail(g, PHASE, "Water phase")
    read(g, "150.8", "g", "225.2", "Pour on", "Water into the water pot")
    rule(g, 380, 0.36, (0.88, 0.92), ("372.2", "379.8"))


def a_heat(g):
    rail(g, (("Heat", "now", 2), ("Hold 10 min", "", 0), ("Weigh boat", "9 min", 0)), "Meanwhile")
    g.say(400, 24, "Heat both to 70–75 °C", 46, INK, True)
    for n, (name, value, at) in enumerate((("water pot", "68.4", 0.82), ("oil pot, slower", "61.0", 0.68))):
        y = 90 + 250 * n
        g.say(400, y, name, 40, SLATE, True)
        g.say(400, y + 36, value, 110, INK, True)
        g.say(1240, y + 36, f"{70 - float(value):.1f}° to go", 80, MUSSEL, True, "ra")
        rule(g, y + 160, at, (0.86, 0.94), ("70", "75"))
    g.say(400, 640, "9 min, 7 to 12", 96, INK, True)


def a_cool(g):
    rail(g, (("Stir", "", 2), ("Add preservative", "4.50", 0), ("Fill", "5", 0)), "Cool-down")
    read(g, "51.2", "°C", "11.2°", "Keep stirring", "Cool below 40 °C")
    g.stroke([(400, 330), (520, 380), (640, 420), (760, 450)], INK, 6)
    g.draw.polygon([(760, 450), (1060, 486), (1240, 520), (1240, 494), (1060, 474)], fill=PALE)
    g.stroke([(400, 500), (1240, 500)], KELP, 4)
    g.say(1240, 690, "36 min, 14:05 to 14:21", 64, INK, True, "ra")


def a_ph(g):
    rail(g, (("1st: 0.20 g", "6.1", 1), ("2nd: 0.30 g", "5.7", 1), ("3rd: 0.22 g", "next", 2)), "Acid added")
    read(g, "5.70", "pH", "0.40", "Add 0.22 g", "pH 5.0 to 5.5")
    rule(g, 380, 0.62, (0.38, 0.5), ("5.0", "5.5"))
    for n, share in enumerate((0.9, 0.74, 0.62)):
        g.say(400 + 840 * share, 350, str(n), 34, INK, True, "mm")
    g.press("Add 0.22 g")


def a_remedy(g):
    rail(g, PHASE, "Water phase")
    g.box(360, 0, WIDE, 210, CORAL)
    g.say(400, 40, "STOP", 120, FOAM, True)
    g.say(1240, 40, "+3.66 g", 120, FOAM, True, "ra")
    for n, (name, what) in enumerate(REMEDIES):
        y = 240 + 130 * n + (60 if n == 2 else 0)
        g.box(400, y, 1240, y + 112, SHELL, LINE)
        g.say(424, y + 30, name, 46, INK, True)
        g.say(1216, y + 34, what, 36, SLATE, anchor="ra")


def a_finish(g):
    rail(g, (("pH again", "tomorrow", 0), ("Look", "in 7 days", 0), ("Decide", "14 Mar", 0)), "Due")
    g.say(400, 24, "Oat hand lotion", 46, INK, True)
    g.say(400, 96, "473.1 g", 170, INK, True)
    g.say(400, 280, "94.6 % · 4 bottles · pH 5.31 · 1 deviation", 40)
    for left, right, ground in ((0, 0.78, KELP), (0.78, 0.946, TIDE), (0.946, 1.0, LINE)):
        g.box(400 + 840 * left, 400, 400 + 840 * right, 460, ground)
    g.say(400, 470, "bottles 389.2      last 83.9      lost 26.9", 34, SLATE)
    g.press("Sign as Mara")


def a_record(g):
    rail(
        g, (("Water phase", "4", 2), ("Oil phase", "3", 0), ("Heat", "22 min", 0), ("Fill", "4", 0)), "Phases"
    )
    g.say(400, 24, "Weighed             target      taken     in the band", 36, SLATE, True)
    for n, (name, target, taken, at) in enumerate(RECORD):
        y = 110 + 110 * n
        g.say(400, y, name, 40, INK, True)
        g.say(800, y, f"{target:.1f}", 40, anchor="ra")
        g.say(940, y, f"{taken:.1f}", 40, INK, True, "ra")
        g.box(980, y + 10, 1240, y + 40, TRACK)
        g.box(980 + 260 * at - 5, y, 980 + 260 * at + 5, y + 50, INK)


# --- B: the open line: the sheet is the page, and the line that is worked on opens ---------------------


def lines(g, above, below, low=560):
    for n, (name, value) in enumerate(above):
        y = 16 + 62 * n
        g.mark(30, y + 10, 1)
        g.say(86, y, name, 40, SLATE)
        g.say(1250, y, value, 40, SLATE, anchor="ra")
    top = 24 + 62 * len(above)
    g.box(0, top, WIDE, low, SHELL, INK)
    for n, (name, value) in enumerate(below):
        y = low + 16 + 62 * n
        g.mark(30, y + 10, 0)
        g.say(86, y, name, 40, INK)
        g.say(1250, y, value, 40, INK, anchor="ra")
    return top


def opened(g, top, name, number, right, move):
    g.say(40, top + 14, name, 46, INK, True)
    g.say(40, top + 70, number, 180, INK, True)
    g.say(1240, top + 90, right, 96, MUSSEL, True, "ra")
    g.say(1240, top + 210, move, 96, INK, True, "ra")


def b_bench(g):
    top = lines(g, (), (("Winter cream waits to be signed", "Mara"), ("pH of the lotion", "today")), 480)
    opened(g, top, "Nothing is being made", "Bench", "5 read", "Make a batch")


def b_weigh(g):
    top = lines(
        g,
        (("Purified water", "375.8 g"), ("Glycerin", "15.1 g")),
        (("Preservative", "4.50 g"), ("Heat", "22 min")),
    )
    opened(g, top, "Chelator", "0.18", "0.32 to go", "Pour on")
    g.box(40, top + 320, 1240, top + 350, TRACK)
    g.box(40, top + 320, 430, top + 350, TIDE)


def b_heat(g):
    top = lines(g, (("Weighed", "7 lines"),), (("Hold 10 min", ""), ("Combine", "")))
    opened(g, top, "Heat both to 70–75 °C", "68.4 | 61.0", "9 min", "Wait")


def b_cool(g):
    top = lines(g, (("Blended", "3 bursts"),), (("Add preservative", "4.50 g"), ("Fill", "5 bottles")))
    opened(g, top, "Cool below 40 °C", "51.2", "36 min", "Keep stirring")


def b_ph(g):
    top = lines(g, (("0.20 g acid", "6.10"), ("0.30 g acid", "5.70")), (("Measure again", ""),))
    opened(g, top, "pH 5.0 to 5.5", "5.70", "0.40 above", "Add 0.22 g")


def b_remedy(g):
    g.box(0, 0, WIDE, 250, CORAL)
    g.say(40, 50, "STOP   +3.66 g", 140, FOAM, True)
    for n, (name, what) in enumerate(REMEDIES):
        g.say(60, 300 + 130 * n, name, 54, INK, True)
        g.say(1220, 306 + 130 * n, what, 42, SLATE, anchor="ra")
        g.stroke([(40, 400 + 130 * n), (1240, 400 + 130 * n)], TRACK, 4)


def b_finish(g):
    top = lines(
        g, (("Filled", "4 bottles"), ("Lost", "26.9 g")), (("pH again", "tomorrow"), ("Decide", "14 Mar"))
    )
    opened(g, top, "Oat hand lotion", "473 g", "94.6 %", "Sign")


def b_record(g):
    lines(g, tuple((n, f"{a:.1f} for {b:.1f} g") for n, a, b, _ in RECORD), (), 300)


# --- C: the glass fills: the page itself is the vessel -------------------------------------------------


def filling(g, share, low, high, number, move, name, over=False):
    def at(part):
        return HIGH - (HIGH - 40) * part

    g.box(0, at(share), WIDE, HIGH, CORAL if over else PALE)
    for edge in (low, high):
        g.stroke([(0, at(edge)), (WIDE, at(edge))], KELP, 6)
    ink = FOAM if over else INK
    g.say(40, 300, name, 46, ink, True)
    g.say(40, 350, number, 210, ink, True)
    g.say(40, 610, move, 110, ink, True)


def c_bench(g):
    for n, (name, value) in enumerate(DEVICES):
        g.box(320 * n + 6, 300, 320 * n + 314, HIGH, PALE)
        g.say(320 * n + 30, 330, name, 38, SLATE, True)
        g.say(320 * n + 30, 390, value, 66, INK, True)
    g.say(40, 60, "Make a batch", 110, INK, True)


def c_weigh(g):
    filling(g, 0.36, 0.86, 0.92, "225.2 g to go", "Pour on", "Water into the water pot")


def c_heat(g):
    for n, (name, value, share) in enumerate((("water pot", "68.4", 0.7), ("oil pot", "61.0", 0.58))):
        g.box(640 * n + 10, HIGH * (1 - share), 640 * n + 630, HIGH, PALE)
        g.say(640 * n + 40, 480, name, 46, SLATE, True)
        g.say(640 * n + 40, 540, value, 180, INK, True)
    g.stroke([(0, 220), (WIDE, 220)], KELP, 6)


def c_cool(g):
    filling(g, 0.62, 0.0, 0.45, "51.2 °C", "Keep stirring", "Cool below 40 °C")


def c_ph(g):
    filling(g, 0.62, 0.4, 0.52, "pH 5.70", "Add 0.22 g", "pH 5.0 to 5.5")


def c_remedy(g):
    filling(g, 1.0, 0.86, 0.92, "+3.66 g", "STOP", "Glycerin", over=True)


def c_finish(g):
    filling(g, 0.946, 0.9, 1.0, "473 g", "Sign it", "Oat hand lotion, 94.6 %")


def c_record(g):
    for n, (name, target, _taken, at) in enumerate(RECORD):
        x = 40 + 310 * n
        g.box(x, 200, x + 250, 700, TRACK)
        g.box(x, 700 - 500 * at, x + 250, 700, PALE)
        g.say(x, 130, name, 36, INK, True)
        g.say(x, 720, f"{target:.1f}", 48)


DIRECTIONS = {"long-rule": "a", "open-line": "b", "filling-glass": "c"}


def sheet_of(letter: str) -> Image.Image:
    """The eight moments of a direction, four in a row."""
    wide, high = WIDE // SMALLER, HIGH // SMALLER
    sheet = Image.new("RGB", (wide * 4 + 30, high * 2 + 10), "#FFFFFF")
    for n, moment in enumerate(MOMENTS):
        g = Glass()
        globals()[f"{letter}_{moment.lower()}"](g)
        small = g.image.resize((wide, high), Image.Resampling.LANCZOS)
        sheet.paste(small, ((n % 4) * (wide + 10), (n // 4) * (high + 10)))
    return sheet.quantize(48)


if __name__ == "__main__":
    where = Path(sys.argv[1] if len(sys.argv) > 1 else "docs/screens/directions")
    where.mkdir(parents=True, exist_ok=True)
    for name, letter in DIRECTIONS.items():
        sheet_of(letter).save(where / f"{name}.png", optimize=True)
