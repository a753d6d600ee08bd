"""The bench before a make: its devices with what they read now, what stands unfinished, what can be done."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from benchapp.screens.bench.device_row import DeviceRow
from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import batch_line
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.text_label import TextLabel

if TYPE_CHECKING:
    from benchapp.runtime.bench_monitor import ChannelStatus
    from benchapp.service.bench_facts import BenchFacts

#: A row no wider than this has no room for six presses.
_NARROW_PX = 800
SAFETY = (
    "The supplier's safety data sheet, your local rules and licensed practice come before anything "
    "this screen says. In an accident, get medical advice."
)


class HomePage(Page):
    """The bench: its devices with what they read now, what is missing, what stands unfinished, what can be done."""

    def __init__(
        self, sizes: Sizes, facts: BenchFacts | None, seen: Sequence[ChannelStatus], routes: Routes
    ) -> None:
        """``facts`` None: they are still being read, and every press waits for them in turn."""
        super().__init__(sizes, "Bench")
        unfinished = facts.unfinished if facts is not None else None
        buttons: list[ButtonSpec] = [
            ("Settings", routes.settings, "plain"), ("Past batches", routes.batches, "plain"),
            ("Check the bench", routes.checks, "plain"), ("Recipes", routes.own_recipes, "plain"),
            ("Make a batch", routes.recipes, "plain" if unfinished else "main"),
        ]  # fmt: skip
        if unfinished is None and (self.panel.portrait or self.panel.width > _NARROW_PX):
            buttons.insert(-1, ("Practise", routes.practices, "plain"))
        elif unfinished is not None:  # what to practise stands behind the shelf, too
            buttons.append(("Go on with it", partial(routes.resume, unfinished.batch), "main"))
        self.bottom(buttons)
        words = TextLabel(SAFETY, sizes.small, d.SLATE)
        high = words.height_at(self.wide)
        self.hang(words)
        words.place(self.left, self.low + high, self.wide)
        self.low += high + sizes.gap * 0.5
        self.rows: list[DeviceRow] = []
        self.trouble = TextLabel("", sizes.small, d.CORAL)
        self.add_widget(self.trouble)
        if facts is None:
            self.line("Opening the journal and the bench.", sizes.note)
            return
        self.line(f"{facts.maker}, on {facts.where}.", sizes.note)
        if unfinished is not None:
            said = batch_line(unfinished, facts.practised)
            self.line(f"Unfinished: {said}", sizes.note, bold=True, color=d.CORAL)
        for text in facts.due[:2]:
            self.line(text, sizes.small, bold=True, color=d.CORAL)
        if facts.workshop:
            self.line(facts.workshop, sizes.small)
        for text in facts.missing:
            self.line(text, sizes.small, bold=True)
        self._rows(facts)
        self.live(seen)

    def _rows(self, facts: BenchFacts) -> None:
        """One row for each channel, as many as there is room for."""
        s = self.sizes
        channels = [(device, channel) for device in facts.devices for channel in device.channels]
        columns = 1 if self.panel.portrait or len(channels) == 1 else 2
        wide = (self.wide - s.gap * (columns - 1)) / columns
        top, between = self.pen_y, s.gap * 0.4
        rows = -(-len(channels) // columns)
        room = min(top - self.low, (self.panel.height - self.low) * 0.6)  # what is wrong needs room, too
        font = next(
            (f for f in DeviceRow.fonts(s)
             if DeviceRow.wide(s, f) <= wide and rows * (DeviceRow.high(s, f) + between) <= room),
            DeviceRow.fonts(s)[-1],
        )  # fmt: skip
        high = DeviceRow.high(s, font)
        for n, (device, channel) in enumerate(channels):
            row, column = divmod(n, columns)
            y = top - row * (high + between)
            if y - high < self.low:
                break
            line = DeviceRow(s, device, channel, facts.checked.get(device.name, ""), font)
            line.lay(self.left + column * (wide + s.gap), y, wide)
            self.rows.append(line)
            self.add_widget(line)
            self.pen_y = y - high

    def live(self, seen: Sequence[ChannelStatus]) -> None:
        """New values into the rows."""
        if not self.rows:
            return
        by_channel = {(one.device.name, one.channel): one for one in seen}
        for row in self.rows:
            row.show(by_channel.get(row.key))
        self._tell(list(dict.fromkeys(one.trouble for one in seen if one.trouble)))

    def _tell(self, sentences: list[str]) -> None:
        """What is wrong with devices, a sentence each, as many as there is room for; the others stand in the check."""
        text = ""
        for sentence in sentences:
            self.trouble.text = f"{text}\n{sentence}" if text else sentence
            if self.pen_y - self.sizes.gap * 0.4 - self.trouble.height_at(self.wide) < self.low:
                break
            text = self.trouble.text
        self.trouble.text = text
        if text:
            self.trouble.place(self.left, self.pen_y - self.sizes.gap * 0.4, self.wide)
        else:
            self.trouble.size = (0, 0)
