"""The sheet of the phase beside the work: what is done with what it weighed and its lot, what is now, what comes."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr, translated
from benchapp.make.view_model import SheetLine
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.shapes import draw_shape, polygon
from benchapp.screens.widgets.text_label import TextLabel, natural_wide, wrapped_high

#: A line's sign: filled when done, pointing when now, open when it comes.
SIGNS = {"done": ("tick", "KELP"), "next": ("dot", "DRIFT")}


class PhaseRail(Widget):
    """As many lines around the one that is now as there is room for; how many are above and below is said."""

    def __init__(self, sizes: Sizes) -> None:
        super().__init__(size_hint=(None, None), size=(0.0, 0.0))
        self._sizes = sizes
        self.lines: tuple[SheetLine, ...] = ()
        self.texts: list[TextLabel] = []
        self._drawn: tuple[object, ...] = ()
        self._font = sizes.note

    def place(self, left: float, low: float, width: float, top: float) -> None:
        """Where it stands; nowhere with no width."""
        self.pos, self.size = (left, low), (width, max(top - low, 0.0))

    def show(self, lines: Sequence[SheetLine]) -> None:
        """Draw them where they or their place changed."""
        key = (tuple(lines), tuple(self.pos), tuple(self.size))
        if key == self._drawn:
            return
        now = next((n for n, line in enumerate(lines) if line.state == "now"), len(lines))
        # A step that was done ahead is neither above nor to come.
        self._drawn, self.lines = (
            key,
            (*lines[:now], *(x for x in lines[now:] if x.state != "done" or x.target_g is not None)),
        )
        self.canvas.before.clear()
        self.clear_widgets()
        self.texts = []
        if not self.width or not self.lines:
            return
        self._size()
        with self.canvas.before:
            Color(*d.SHELL)
            Rectangle(pos=self.pos, size=self.size)
        self._fill()

    def _size(self) -> None:
        """As large as all of them have room for, but no smaller than can be read from where one works: then the others are counted."""
        s, room = self._sizes, self.height - 2 * self._sizes.gap
        fits: dict[int, bool] = {}
        for self._font in (s.line, s.between):
            words = (word for x in self.lines for word in f"{translated(x.name)} {self._amount(x)}".split())
            fits[self._font] = all(natural_wide(word, self._font) <= self._wide() for word in words)
            if fits[self._font] and sum(self._high(line) for line in self.lines) <= room:
                return
        self._font = s.between
        if not fits[s.between] or self._least() > room:
            self._font = s.note

    def _least(self) -> float:
        """How high the highest line is between two that count the others."""
        return max(self._high(line) for line in self.lines) + 2 * self._font * 1.4

    def _fill(self) -> None:
        s = self._sizes
        y = self.top - s.gap
        first, last = self._window(self.height - 2 * s.gap)
        if first:
            y = self._text(
                tr("{first} done above", first=first),
                self.x + s.gap,
                y,
                self.width - 2 * s.gap,
                self._font,
                d.SLATE,
            )
        for line in self.lines[first:last]:
            y = self._line(line, y)
        if last < len(self.lines):
            self._text(
                tr("{count} more to come", count=len(self.lines) - last),
                self.x + s.gap,
                y,
                self.width - 2 * s.gap,
                self._font,
                d.SLATE,
            )

    def _window(self, room: float) -> tuple[int, int]:
        """The lines that fit: the one that is now, what follows, and what is done as far as there is room."""
        highs = [self._high(line) for line in self.lines]
        if sum(highs) <= room:
            return 0, len(highs)
        now = next((n for n, line in enumerate(self.lines) if line.state == "now"), None)
        if now is None:
            now = max((n for n, line in enumerate(self.lines) if line.state == "done"), default=0)
        first, last, used = now, now + 1, highs[now] + 2 * self._font * 1.4
        while True:
            before, after = (
                (highs[first - 1] if first else None),
                (highs[last] if last < len(highs) else None),
            )
            ahead = last - now <= 2 * (now - first) + 2
            if (
                after is not None
                and used + after <= room
                and (ahead or before is None or used + before > room)
            ):
                used, last = used + after, last + 1
            elif before is not None and used + before <= room:
                used, first = used + before, first - 1
            else:
                return first, last

    @property
    def _indent(self) -> float:
        return float(self._font * 1.35)

    def _name(self, line: SheetLine) -> TextLabel:
        now = line.state == "now"
        return TextLabel(line.name, self._font, d.INK if line.state != "done" else d.SLATE, bold=now)

    def _amount(self, line: SheetLine) -> str:
        if line.target_g is None:
            return ""
        figures = self._sizes.figures
        grams = line.target_g if line.taken_g is None else line.taken_g
        number, unit = figures.live(grams, "g", line.decimals)
        return tr(
            "{number} {unit}{how}",
            number=number,
            unit=unit,
            how=tr(" · lot {lot}", lot=line.lot) if line.lot else "",
        )

    def _wide(self) -> float:
        return float(int(self.width - 2 * self._sizes.gap - self._indent))

    def _high(self, line: SheetLine) -> float:
        s = self._sizes
        high = wrapped_high(line.name, self._font, line.state == "now", int(self._wide()))
        amount = self._amount(line)
        under = (
            wrapped_high(amount, self._font, line.taken_g is not None, int(self._wide())) if amount else 0.0
        )
        return high + under + s.gap * 0.8

    def _line(self, line: SheetLine, y: float) -> float:
        s = self._sizes
        x, side = self.x + s.gap, self._font * 0.9
        with self.canvas.before:
            if line.state == "now":
                Color(*d.INK)
                polygon(
                    [
                        (x, y - self._font * 0.15),
                        (x, y - self._font * 0.15 - side),
                        (x + side * 0.9, y - self._font * 0.15 - side / 2),
                    ]
                )
            else:
                shape, colour = SIGNS[line.state]
                draw_shape(shape, x, y - self._font * 0.15 - side, side, getattr(d, colour))
        name = self._name(line)
        self.add_widget(name)
        self.texts.append(name)
        low = name.place(x + self._indent, y, self._wide())
        amount = self._amount(line)
        if amount:
            low = self._text(
                amount, x + self._indent, low, self._wide(), self._font, d.SLATE, line.taken_g is not None
            )
        return low - s.gap * 0.8

    def _text(
        self, words: str, x: float, top: float, width: float, size: int, colour: d.RGB, bold: bool = False
    ) -> float:
        label = TextLabel(words, size, colour, bold=bold)
        self.add_widget(label)
        self.texts.append(label)
        return label.place(x, top, width)
