"""One channel of one device on the bench page: its latest value, how it stands in shape and word, how old, its check."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kivy.graphics import Color, RoundedRectangle
from kivy.uix.widget import Widget

from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.shapes import draw_shape
from benchapp.screens.widgets.text_label import TextLabel
from benchapp.service.references import UNIT

if TYPE_CHECKING:
    from benchapp.runtime.bench_monitor import ChannelStatus
    from drivers.settings import DeviceSettings


#: What an open ring says in words.
UNCHECKED = "not checked"
#: The widest value, and the widest words beside it, in widths of their fonts.
VALUE_EMS, WORDS_EMS = 5.4, 8.5


class DeviceRow(Widget):
    """Value and unit at the left; name, and how it stands, beside it. ``font`` is the value's."""

    def __init__(self, sizes: Sizes, device: DeviceSettings, channel: str, checked: str, font: int) -> None:
        super().__init__(size_hint=(None, None))
        self.sizes, self.key, self.font = sizes, (device.name, channel), font
        self._device = device
        self._checked = f"checked {checked[:10]}" if checked else UNCHECKED
        several = len(device.channels) > 1
        self._names = [f"{device.name}, {channel}", channel] if several else [device.name]
        with self.canvas.before:
            Color(*d.SHELL)
            self._ground = RoundedRectangle(radius=[8])
        self.value = TextLabel("–", font, d.INK, bold=True)
        self.name = TextLabel(self._names[0], sizes.note, d.INK, bold=True)
        self.state = TextLabel("", sizes.small, d.SLATE)
        for part in (self.value, self.name, self.state):
            self.add_widget(part)
        self._shown: tuple[object, ...] = ()

    @staticmethod
    def high(sizes: Sizes, font: int) -> float:
        """How high a row is: the value, or the name over its standing."""
        return float(max(font * 1.2, sizes.note * 1.2 + sizes.small * 1.25) + sizes.gap * 0.4)

    @staticmethod
    def fonts(sizes: Sizes) -> tuple[int, ...]:
        """Sizes a value may have, the largest first."""
        return round(sizes.instruction * 1.7), sizes.instruction, round(sizes.note * 1.3)

    @staticmethod
    def wide(sizes: Sizes, font: int) -> float:
        """How wide a row has to be at that size."""
        return VALUE_EMS * font + WORDS_EMS * sizes.note

    def lay(self, x: float, top: float, width: float) -> None:
        """Where it goes."""
        s = self.sizes
        high = self.high(s, self.font)
        self.pos, self.size = (x, top - high), (width, high)
        self._ground.pos, self._ground.size = self.pos, self.size
        self._words_x = x + s.gap + self.font * VALUE_EMS
        room = x + width - self._words_x - s.gap * 0.5
        for name in self._names:  # the probe alone, where its device's name has no room
            self.name.text = name
            if self.name.natural()[0] <= room:
                break
        middle = (high - s.note * 1.2 - s.small * 1.25) / 2
        self.name.place(self._words_x, top - middle, room)

    def show(self, seen: ChannelStatus | None) -> None:
        """The latest; nothing is drawn anew where nothing changed."""
        value, word, shape, colour = self._standing(seen)
        if (value, word, shape) == self._shown:
            return
        self._shown = (value, word, shape)
        s = self.sizes
        self.value.text = value
        _, high = self.value.natural()
        self.value.pos = (self.x + s.gap, self.center_y - high / 2)
        self.value.color = (*(d.INK if shape in ("tick", "ring") else d.SLATE), 1)
        side = s.small * 1.1
        top = self.name.y
        self.canvas.after.clear()
        with self.canvas.after:
            draw_shape(shape, self._words_x, top - side - 2, side, colour)
        self.state.text = word
        self.state.color = (*(d.CORAL if shape == "gap" else d.SLATE), 1)
        self.state.place(self._words_x + side + 6, top, self.right - self._words_x - side - s.gap)

    def _standing(self, seen: ChannelStatus | None) -> tuple[str, str, str, d.RGB]:
        """The value as it is written, the words under the name, and the shape with its colour."""
        if seen is None:
            return "–", "waiting", "dots", d.SLATE
        if seen.trouble:
            return "–", "no reading", "gap", d.CORAL
        if seen.reading is None:
            return "–", "waiting", "dots", d.SLATE
        value, unit = self.sizes.figures.live(
            seen.reading.value, UNIT[self._device.kind], decimals_of(self._device, seen)
        )
        text = f"pH {value}" if unit == "pH" else f"{value} {unit}"
        if not seen.fresh:
            return text, f"{seen.age_s:.0f} s old", "gap", d.CORAL
        if self._checked == UNCHECKED:
            return text, UNCHECKED, "ring", d.SLATE
        return text, self._checked, "tick", d.KELP


def decimals_of(device: DeviceSettings, seen: ChannelStatus) -> int:
    """As many digits as the device itself writes."""
    step = seen.reading.resolution if seen.reading else None
    if step is None:
        step = device.readability_g or {"ph meter": 0.01}.get(device.kind, 0.1)
    return next((n for n in range(4) if step >= 0.999 * 10.0**-n), 4)
