"""A trace as a drawing: what stands in one column flowed into what stands in the next, as wide as it was much."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kivy.graphics import Color, Line

from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.text_label import TextLabel, natural_wide, wrapped_high
from benchapp.screens.widgets.text_line import draw_mark

#: What is left between two columns for what flows, as a share of the width; and the least of the width a column has.
_BETWEEN, _LEAST = 0.08, 0.18
#: A detail is broken into lines rather than take more than this share of the width.
_DETAIL = 0.33
#: How wide the widest and the thinnest flow is drawn, in pixels.
_WIDEST, _THINNEST = 9.0, 1.3


@dataclass(frozen=True, slots=True)
class FlowNode:
    """One that something flowed out of or into: its name, what is said of it, its mark (see text_line.MARKS), and
    how much of it at the right end of its column; ``beside`` stands plain beside its name."""

    key: str
    label: str
    detail: str = ""
    mark: str = ""
    figure: str = ""
    beside: str = ""


@dataclass(frozen=True, slots=True)
class Flow:
    """``share`` of the most that flowed anywhere, 0 to 1, went from one node into another."""

    source: str
    target: str
    share: float


@dataclass(frozen=True, slots=True)
class FlowFacts:
    """Columns of nodes, from where it came to where it went, under their heads; and what flowed."""

    heads: tuple[str, ...]
    columns: tuple[tuple[FlowNode, ...], ...]
    flows: tuple[Flow, ...]


class FlowPage(Page):
    """All of it on one page; ``drawn`` is False where that has no room, and the table has to be shown in its place."""

    def __init__(self, sizes: Sizes, title: str, facts: FlowFacts, buttons: Sequence[ButtonSpec]) -> None:
        super().__init__(sizes, title)
        self.bottom(buttons)
        self._facts = facts
        self.drawn = not self.panel.portrait and self._fits()
        if self.drawn:
            self._draw()

    def _fits(self) -> bool:
        """Find the largest letters in which all of it has room; False where none has."""
        s = self.sizes
        for pair in ((s.note, s.note), (s.note, s.small), (s.small, s.small)):
            for self._pair, self._lone in ((pair, (s.between, s.note)), (pair, pair)):
                self._wides = _widths(s, self._facts, self.wide, self._lone)
                if self._all_high() <= self.pen_y - self.low:
                    return True
        return False

    def _fonts(self, nodes: Sequence[FlowNode]) -> tuple[int, int]:
        """Of the names and of what is said of them: larger where a column has one alone, which all of it is about."""
        return self._lone if len(nodes) == 1 else self._pair

    def _all_high(self) -> float:
        if not self._wides:
            return math.inf
        head = wrapped_high("x", self.sizes.note, False, 400) * 1.2
        columns = zip(self._facts.columns, self._wides, strict=True)
        return head + max(
            sum(self._high(node, self._fonts(nodes), wide) for node in nodes) for nodes, wide in columns
        )

    def _high(self, node: FlowNode, fonts: tuple[int, int], wide: float) -> float:
        font, under = fonts
        inner = int(wide - _sign(node, font))
        detail = wrapped_high(node.detail, under, False, inner) if node.detail else 0.0
        figure = int(natural_wide(node.figure, font) + self.sizes.gap) if node.figure else 0
        figure += int(_beside_wide(node, font))
        return (
            wrapped_high(node.label, font, True, inner - figure)
            + detail
            + self.sizes.gap * (0.6 if node.detail else 0.15)
        )

    def _draw(self) -> None:
        s, x = self.sizes, self.left
        gap = self.wide * _BETWEEN
        ends: dict[str, tuple[float, float, float]] = {}  # left, right and the height of a node
        top = self.pen_y
        for head, nodes, wide in zip(self._facts.heads, self._facts.columns, self._wides, strict=True):
            words = TextLabel(head, s.note, d.SLATE)
            self.hang(words)
            y, fonts = words.place(x, top, wide) - s.gap * 0.3, self._fonts(nodes)
            rest = y - self.low - sum(self._high(node, fonts, wide) for node in nodes)
            between = min(rest / (len(nodes) + 1), s.gap * 3) if len(nodes) > 1 else rest / 2
            y -= between if len(nodes) == 1 else max((rest - between * (len(nodes) - 1)) / 2, 0.0)
            for node in nodes:
                ends[node.key] = self._node(node, fonts, (x, y, wide))
                y -= self._high(node, fonts, wide) + between
            x += wide + gap
        for flow in self._facts.flows:
            if flow.source in ends and flow.target in ends:
                self._flow(ends[flow.source], ends[flow.target], flow.share)

    def _node(
        self, node: FlowNode, fonts: tuple[int, int], place: tuple[float, float, float]
    ) -> tuple[float, float, float]:
        """``place``: its left edge and top, and how wide its column is. Returns its left, its right and its middle height."""
        (font, small), (x, y, wide) = fonts, place
        sign, put = _sign(node, font), self.sizes.figures.text
        words = TextLabel(put(node.label), font, d.INK, bold=True)
        self.hang(words)
        beside = natural_wide(put(node.figure), font) + self.sizes.gap if node.figure else 0.0
        room = wide - sign - beside - _beside_wide(node, font)
        name = min(natural_wide(words.text, font) + 1, room)
        low = words.place(x + sign, y, name)
        right = x + sign + min(natural_wide(words.text, font), wide - sign)
        if node.beside:
            plain = TextLabel(node.beside, font, d.SLATE)
            self.hang(plain)
            plain.place(x + sign + name + font * 0.5, y, _beside_wide(node, font) - font * 0.5 + 1)
        if node.figure:
            figure = TextLabel(put(node.figure), font, d.TIDE, bold=True)
            figure_wide, _ = figure.natural()
            self.hang(figure)
            figure.place(x + wide - figure_wide, y, figure_wide + 1)
            right = x + wide
        if node.mark:
            side = font * 0.95
            with self.canvas:
                draw_mark(node.mark, x, y - side * 1.15, side)
        middle = (y + low) / 2
        if node.detail:
            under = TextLabel(put(node.detail), small, d.SLATE)
            self.hang(under)
            middle = (y + under.place(x + sign, low, wide - sign)) / 2
            right = max(right, x + sign + min(_widest(under.text, under.font_size), wide - sign))
        return x - 6, right + 8, middle

    def _flow(
        self, source: tuple[float, float, float], target: tuple[float, float, float], share: float
    ) -> None:
        (_, x, y), (to_x, _, to_y) = source, target
        middle = (x + to_x) / 2 if to_x - x < self.wide * 0.3 else to_x - self.wide * 0.12
        thick = max(_WIDEST * math.sqrt(max(share, 0.0)), _THINNEST)
        with self.canvas:
            Color(*(0.45 * ink + 0.55 * ground for ink, ground in zip(d.TIDE, d.SAND, strict=True)))
            Line(bezier=[x, y, middle, y, middle, to_y, to_x, to_y], width=thick / 2 + 0.5)


def _widest(text: str, size: float) -> float:
    """How wide the widest line of several is."""
    return max((natural_wide(line, round(size)) for line in text.split("\n")), default=0.0)


def _sign(node: FlowNode, font: int) -> float:
    return font * 1.25 if node.mark else 0.0


def _beside_wide(node: FlowNode, font: int) -> float:
    return natural_wide(node.beside, font) + font * 0.5 if node.beside else 0.0


def _label_wide(node: FlowNode, sizes: Sizes, font: int) -> float:
    figure = natural_wide(node.figure, font) + 2 * sizes.gap if node.figure else 0.0
    figure += _beside_wide(node, font)
    return natural_wide(node.label, font) + _sign(node, font) + figure


def _widths(sizes: Sizes, facts: FlowFacts, wide: float, lone: tuple[int, int]) -> list[float]:
    """Of each column, by its longest words, ``lone`` in these sizes where it has one node; () where a column has nothing or they have no room beside each other."""
    if not all(facts.columns):
        return []
    room = wide * (1 - _BETWEEN * (len(facts.columns) - 1))
    wanted = []
    for nodes in facts.columns:
        name, small = lone if len(nodes) == 1 else (sizes.note, sizes.small)
        each = (
            max(_label_wide(n, sizes, name), min(_widest(n.detail, small) + _sign(n, name), wide * _DETAIL))
            for n in nodes
        )
        wanted.append(max(each) + sizes.gap)
    over = sum(wanted) - room
    if over <= 0:
        return [w + -over / len(wanted) for w in wanted]
    give = [max(w - wide * _LEAST, 0.0) for w in wanted]
    if sum(give) < over:
        return []
    return [w - over * g / sum(give) for w, g in zip(wanted, give, strict=True)]
