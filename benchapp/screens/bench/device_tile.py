"""One channel of one device on the bench page: its latest value, how it stands in shape and word, how old, its check, and
the last minute as a curve."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kivy.graphics import Canvas, Color, Ellipse, Line, RoundedRectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr, tr_noop
from benchapp.runtime.traces import TRACE_S
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.shapes import draw_shape
from benchapp.screens.widgets.surface import Area
from benchapp.screens.widgets.text_label import TextLabel
from benchapp.service.bench_facts import UNIT

if TYPE_CHECKING:
    from benchapp.runtime.bench_monitor import ChannelStatus
    from drivers.settings import DeviceSettings


#: What an open ring says in words.
UNCHECKED, SIMULATED = tr_noop("not checked"), tr_noop("simulated")
#: The widest value, and the widest words beside it, in widths of their fonts.
VALUE_EMS, WORDS_EMS = 5.4, 8.5
#: With less room than this beside the value, its words stand over it.
LEAST_EMS = 6.0
#: The curve shows at least so many last digits from its lowest to its highest, so that noise looks like what it is.
LEAST_STEPS = 40
#: A curve needs this much height, in heights of small text.
CURVE_EMS = 2.2


class DeviceTile(Widget):
    """The name and how it stands over the value, and the curve under it where there is room; or the value with both
    beside it. ``font`` is the value's."""

    def __init__(self, sizes: Sizes, device: DeviceSettings, channel: str, checked: str, font: int) -> None:
        super().__init__(size_hint=(None, None))
        self.sizes, self.key, self.font = sizes, (device.name, channel), font
        self._device = device
        ring = UNCHECKED if device.port else SIMULATED  # on a simulated pan no weight is ever put
        self._checked = tr("checked {day}", day=day(checked)) if checked else ring
        several = len(device.channels) > 1
        self._names = [f"{device.name}, {channel}", channel] if several else [device.name]
        with self.canvas.before:
            Color(*d.SHELL)
            self._ground = RoundedRectangle(radius=[8])
        self.value = TextLabel("–", font, d.INK, bold=True)
        self.name = TextLabel(self._names[0], sizes.note, d.INK, bold=True)
        self.state = TextLabel("", sizes.small, d.SLATE)
        self.span = TextLabel(tr("last minute"), sizes.small, d.SLATE)  # what the curve is of
        for part in (self.value, self.name, self.state, self.span):
            self.add_widget(part)
        self._mark, self._curve = Canvas(), Canvas()
        self.canvas.after.add(self._mark)
        self.canvas.after.add(self._curve)
        self._shown: tuple[object, ...] = ()
        self._trace: tuple[tuple[float, float], ...] = ()

    @staticmethod
    def high(sizes: Sizes, font: int) -> float:
        """How high it is at the least: the value, or the name over its standing."""
        return float(max(font * 1.2, sizes.note * 1.2 + sizes.small * 1.25) + sizes.gap * 0.4)

    @staticmethod
    def fonts(sizes: Sizes) -> tuple[int, ...]:
        """Sizes a value may have beside its words, the largest first."""
        return round(sizes.instruction * 1.7), sizes.instruction, round(sizes.note * 1.3)

    @staticmethod
    def wide(sizes: Sizes, font: int) -> float:
        """How wide it has to be for the words beside a value of that size."""
        return VALUE_EMS * font + WORDS_EMS * sizes.note

    @staticmethod
    def upright(sizes: Sizes, font: int) -> float:
        """How high it has to be for the words over the value."""
        return sizes.note * 1.25 + sizes.small * 1.3 + font * 1.2 + sizes.gap * 0.4

    @staticmethod
    def tall(sizes: Sizes, font: int) -> float:
        """The same, with the curve under it."""
        return DeviceTile.upright(sizes, font) + sizes.small * CURVE_EMS + sizes.gap * 0.8

    def lay(self, box: Area) -> None:
        """Where it goes."""
        s = self.sizes
        high = box.top - box.low
        self.pos, self.size = (box.left, box.low), (box.width, high)
        self._ground.pos, self._ground.size = self.pos, self.size
        self._has_curve = high >= self.tall(s, self.font)
        self._upright = self._has_curve or box.width < VALUE_EMS * self.font + LEAST_EMS * s.note
        self._words_x = box.left + s.gap + (0 if self._upright else self.font * VALUE_EMS)
        room = box.left + box.width - self._words_x - s.gap * 0.5
        for name in self._names:  # the probe alone, where its device's name has no room
            self.name.text = name
            if self.name.natural()[0] <= room:
                break
        words = s.note * 1.2 + s.small * 1.25
        rest = high - words - (self.font * 1.2 if self._upright else 0.0)
        middle = s.gap * 0.5 if self._has_curve else rest / 2
        self.name.place(self._words_x, box.top - middle, room)
        if self._has_curve and self.span.natural()[0] + WORDS_EMS * s.small < room:
            self.span.pos = (
                box.left + box.width - s.gap * 0.5 - self.span.width,
                self.name.y - self.span.height,
            )
        else:
            self.span.text = ""

    def _draw_curve(self, trace: tuple[tuple[float, float], ...]) -> None:
        """The last minute, its newest point at the right."""
        s = self.sizes
        self._curve.clear()
        low, top = self.y + s.gap * 0.5, self.value.y - s.gap * 0.2
        left, right = self.x + s.gap, self.right - s.gap
        with self._curve:
            Color(*d.WET_SAND)
            Line(points=[left, low, right, low], width=1.3)
        if len(trace) < 2:
            return
        values = [value for _, value in trace]
        step = 10.0 ** -decimals_of(self._device, None)
        span = max(max(values) - min(values), LEAST_STEPS * step)
        middle = (max(values) + min(values)) / 2
        points = [
            xy
            for ago_s, value in trace
            for xy in (
                right - (right - left) * ago_s / TRACE_S,
                low + (top - low) * (0.5 + 0.9 * (value - middle) / span),
            )
        ]
        with self._curve:
            Color(*d.TIDE)
            Line(points=points, width=2.2)
            Ellipse(pos=(points[-2] - 6, points[-1] - 6), size=(12, 12))

    def show(self, seen: ChannelStatus | None) -> None:
        """The latest; nothing is drawn anew where nothing changed."""
        value, word, shape, colour = self._standing(seen)
        if (value, word, shape) != self._shown:
            self._show_words(value, word, shape, colour)
        trace = seen.trace if seen is not None and not seen.trouble else ()
        if self._has_curve and trace != self._trace:
            self._trace = trace
            self._draw_curve(trace)

    def _show_words(self, value: str, word: str, shape: str, colour: d.RGB) -> None:
        self._shown = (value, word, shape)
        s = self.sizes
        self.value.text = value
        _, high = self.value.natural()
        under = self.name.y - s.small * 1.3 - high
        self.value.pos = (self.x + s.gap, under if self._upright else self.center_y - high / 2)
        self.value.color = (*(d.INK if shape in ("tick", "dot") else d.SLATE), 1)
        side = s.small * 1.1
        top = self.name.y
        self._mark.clear()
        with self._mark:
            draw_shape(shape, self._words_x, top - side - 2, side, colour)
        self.state.text = word
        self.state.color = (*(d.CORAL if shape == "gap" else d.SLATE), 1)
        end = self.span.x - s.gap if self.span.text else self.right
        self.state.place(self._words_x + side + 6, top, end - self._words_x - side - s.gap)

    def _standing(self, seen: ChannelStatus | None) -> tuple[str, str, str, d.RGB]:
        """The value as it is written, the words under the name, and the shape with its colour."""
        if seen is None:
            return "–", "waiting", "dots", d.SLATE
        if seen.trouble:
            return "–", tr_noop("no reading"), "gap", d.CORAL
        if seen.reading is None:
            return "–", "waiting", "dots", d.SLATE
        value, unit = self.sizes.figures.live(
            seen.reading.value, UNIT[self._device.kind], decimals_of(self._device, seen)
        )
        text = tr("pH {value}", value=value) if unit == "pH" else f"{value} {unit}"
        if not seen.fresh:
            return text, tr("{age_s:.0f} s old", age_s=seen.age_s), "gap", d.CORAL
        if self._checked in (UNCHECKED, SIMULATED):
            return text, self._checked, "dot", d.SLATE
        return text, self._checked, "tick", d.KELP


def decimals_of(device: DeviceSettings, seen: ChannelStatus | None) -> int:
    """As many digits as the device itself writes; before it has said anything, as many as its kind usually does."""
    step = seen.reading.resolution if seen is not None and seen.reading else None
    if step is None:
        step = device.readability_g or {"ph meter": 0.01}.get(device.kind, 0.1)
    return next((n for n in range(4) if step >= 0.999 * 10.0**-n), 4)
