"""One channel of one device on the bench page: its name, its latest value, how it stands in shape and word, how old, its check."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kivy.graphics import Canvas, Color, RoundedRectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr, tr_noop
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
#: The widest value, in widths of its font; the widest words beside it, in widths of theirs.
VALUE_EMS, WORDS_EMS = 5.4, 7.5


def channel_name(device: DeviceSettings, channel: str) -> str:
    """What a channel is called beside others: the probe alone where its device has several."""
    return channel if len(device.channels) > 1 else device.name


class DeviceTile(Widget):
    """The name and how it stands at the left, the value under them where there is room, else at the right end. ``font`` is
    the value's."""

    def __init__(self, sizes: Sizes, device: DeviceSettings, channel: str, checked: str, font: int) -> None:
        super().__init__(size_hint=(None, None))
        self.sizes, self.key, self.font = sizes, (device.name, channel), font
        self._device = device
        ring = UNCHECKED if device.port else SIMULATED  # on a simulated pan no weight is ever put
        self._checked = tr("checked {day}", day=day(checked)) if checked else ring
        with self.canvas.before:
            Color(*d.SHELL)
            self._ground = RoundedRectangle(radius=[8])
        self.value = TextLabel("–", font, d.INK, bold=True)
        self._upright = font > self.least_upright(sizes)
        name, self._said = self.words_of(sizes, self._upright)
        self.name = TextLabel(channel_name(device, channel), name, d.INK, bold=True)
        self.state = TextLabel("", self._said, d.SLATE)
        for part in (self.value, self.name, self.state):
            self.add_widget(part)
        self._mark = Canvas()
        self.canvas.after.add(self._mark)
        self._shown: tuple[object, ...] = ()

    @staticmethod
    def words_of(sizes: Sizes, upright: bool) -> tuple[int, int]:
        """How large the name and its standing are: a step larger over their value than beside it."""
        return (sizes.between, sizes.note) if upright else (sizes.note, sizes.small)

    @staticmethod
    def words_high(sizes: Sizes, upright: bool = False) -> float:
        """How high the name over its standing is, in pixels."""
        name, said = DeviceTile.words_of(sizes, upright)
        return name * 1.25 + said * 1.3

    @staticmethod
    def low(sizes: Sizes) -> float:
        """How high it is at the least, with the value at its right end."""
        return DeviceTile.words_high(sizes) + sizes.gap * 0.4

    @staticmethod
    def upright(sizes: Sizes, font: int) -> float:
        """How high it has to be for a value of that size under the words."""
        return DeviceTile.words_high(sizes, True) + font * 1.25 + sizes.gap

    @staticmethod
    def least_upright(sizes: Sizes) -> int:
        """A value no larger than this stands at the right end."""
        return round(sizes.instruction * 1.4)

    @staticmethod
    def font_in(sizes: Sizes, wide: float, high: float) -> int:
        """The largest in which a value has room in a tile of that size: under its words, else beside them."""
        least, larger = round(sizes.note * 1.3), DeviceTile.least_upright(sizes)
        for font in range(min(int(wide / (VALUE_EMS + 0.4)), sizes.reading), larger, -2):
            if DeviceTile.upright(sizes, font) <= high:
                return font
        fonts = (larger, sizes.instruction, least)
        words = WORDS_EMS * sizes.note
        fits = (f for f in fonts if VALUE_EMS * f + words <= wide and f * 1.3 <= high)
        return next(fits, least)

    def lay(self, box: Area) -> None:
        """Where it goes."""
        s, high = self.sizes, box.top - box.low
        self.pos, self.size = (box.left, box.low), (box.width, high)
        self._ground.pos, self._ground.size = self.pos, self.size
        self._words_x = box.left + s.gap
        value = 0.0 if self._upright else self.font * VALUE_EMS
        self._room = box.width - 2 * s.gap - value
        words = self.words_high(s, self._upright) + (self.font * 1.25 if self._upright else 0.0)
        self.name.place(self._words_x, box.top - (high - words) / 2, self._room)

    def show(self, seen: ChannelStatus | None) -> None:
        """The latest; nothing is drawn anew where nothing changed."""
        shown = self._standing(seen)
        if shown != self._shown:
            self._shown = shown
            self._show_words(*shown)

    def _show_words(self, value: str, word: str, shape: str, colour: d.RGB) -> None:
        s, side = self.sizes, self._said * 1.1
        top = self.name.y
        self._mark.clear()
        with self._mark:
            draw_shape(shape, self._words_x, top - side - 2, side, colour)
        self.state.text = word
        self.state.color = (*(d.CORAL if shape == "gap" else d.SLATE), 1)
        low = self.state.place(self._words_x + side + 6, top, self._room - side - 6)
        self.value.text = value
        self.value.color = (*(d.INK if shape in ("tick", "dot") else d.SLATE), 1)
        wide, high = self.value.natural()
        if self._upright:
            self.value.pos = (self._words_x, low - high)
        else:
            self.value.pos = (self.right - s.gap - wide, self.center_y - high / 2)

    def _standing(self, seen: ChannelStatus | None) -> tuple[str, str, str, d.RGB]:
        """The value as it is written, the words under the name, and the shape with its colour."""
        if seen is None or seen.reading is None:
            return "–", tr_noop("no reading"), "gap", d.CORAL
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
