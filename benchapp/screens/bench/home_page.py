"""The bench before a make: its devices with what they read now, what stands unfinished or is due, what can be done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from kivy.uix.widget import Widget

from benchapp.foundation.language import tr, tr_noop
from benchapp.screens.bench.device_tile import DeviceTile, channel_name
from benchapp.screens.bench.matter_rows import TO_DO, lay_matters, matter_rows, unchecked
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import in_words
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import ROOMY_PX, Page
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.surface import Area
from benchapp.screens.widgets.text_label import TextLabel
from benchapp.screens.widgets.text_line import TextLine

if TYPE_CHECKING:
    from benchapp.runtime.bench_monitor import ChannelStatus
    from benchapp.service.bench_facts import BenchFacts
    from drivers.settings import DeviceSettings

#: From so many pixels of width on, what is due stands beside the devices, which take this share of it where they have room
#: under each other.
BESIDE_PX, TILES_SHARE = 1000, 0.34
#: A tile is no higher than so many times its words and its value.
TALLEST = 1.5
SAFETY = tr_noop(
    "The supplier's safety data sheet, your local rules and licensed practice come "
    "before anything this screen says. In an accident, get medical advice."
)


class HomePage(Page):
    """The bench: its devices with what they read now, what stands unfinished, what is due or runs out, what can be done.

    A device that has not read yet is only named under them; once it has, all of it is laid anew. ``rows`` are the tiles,
    ``matters`` the rows of what is due.
    """

    leads_back = False

    def __init__(
        self,
        sizes: Sizes,
        facts: BenchFacts | None,
        seen: Sequence[ChannelStatus],
        routes: Routes,
        every: Callable[[Sequence[RowSpec]], None] = lambda rows: None,
    ) -> None:
        """``facts`` None: they are still being read, and every press waits for them in turn. ``every`` shows all that is due."""
        super().__init__(sizes, "Bench")
        self._facts, self._routes, self._every = facts, routes, every
        self.bottom(self._buttons(facts, routes))
        font = sizes.note if self.panel.height >= ROOMY_PX else sizes.small
        self.at_foot(TextLabel(SAFETY, font, d.INK))
        self.rows: list[DeviceTile] = []
        self.matters: list[RowSpec] = []
        self._laid: list[Widget] = []
        self._state: tuple[object, ...] | None = None
        if facts is None:
            self.listed_large([TextLine(tr("Opening the journal and the bench."))])
            return
        self._floor, self._ceiling = self.low, self.pen_y
        self.live(seen)

    def _head_with(self, said: str, head: str) -> None:
        """The title, and who makes and on which bench: beside it where there is room, else under it."""
        words, title = TextLabel(said, self.sizes.note, d.SLATE), self.texts[0]
        wide, high = words.natural()
        title.text, top = head, title.top
        title_wide, _ = title.natural()
        title.place(self.left, top, title_wide)
        if title.right + 2 * self.sizes.gap + wide > self.left + self.wide:
            self.line(said, self.sizes.note)
            return
        words.pos = (self.left + self.wide - wide, title.y + (title.height - high) / 2)
        self.hang(words)

    def _buttons(self, facts: BenchFacts | None, routes: Routes) -> list[ButtonSpec]:
        unfinished = facts.unfinished if facts is not None else None
        several = facts is not None and facts.workshop
        # the filled press is what stands first of what is due; of several that are late none is
        pressing = facts is not None and (unfinished is not None or any(x.grave for x in facts.matters))
        check = facts is not None and not pressing and bool(unchecked(facts))
        apart: list[ButtonSpec] = [("Practise", routes.practices, "plain")]
        if several:
            apart = [(tr("All benches"), routes.benches, "plain")]
        buttons: list[ButtonSpec] = [
            ("Settings", routes.settings, "plain"), (tr("Past batches"), routes.batches, "plain"),
            (tr("Check the bench"), routes.checks, "main" if check else "plain"), ("Recipes", routes.own_recipes, "plain"),
            (tr("Make a batch"), routes.recipes, "plain" if pressing or check else "main"),
        ]  # fmt: skip
        every = [*buttons[:4], *apart, *buttons[4:]]
        if several or self.panel.portrait or self.in_one_row(every):
            return every
        return buttons  # likewise

    # --- what is laid anew when a device begins to read ------------------------------------------------

    def live(self, seen: Sequence[ChannelStatus]) -> None:
        """New values into the tiles; all of it anew where a device has begun to read, or has lost its port."""
        if self._facts is None:
            return
        state = tuple((one.device.name, one.channel, one.reading is None, one.trouble) for one in seen)
        if state != self._state:
            self._state = state
            self._lay_all(self._facts, seen)
        by_channel = {(one.device.name, one.channel): one for one in seen}
        for tile in self.rows:
            tile.show(by_channel.get(tile.key))

    def _lay_all(self, facts: BenchFacts, seen: Sequence[ChannelStatus]) -> None:
        for widget in self._laid:
            self.remove_widget(widget)
        self.texts = [text for text in self.texts if text not in self._laid]
        before = list(self.children)
        self.rows, self.low, self.pen_y = [], self._floor, self._ceiling
        self.matters = matter_rows(facts, seen, self._routes)
        whose = tr("{maker}, on {where}.", maker=facts.maker, where=facts.where)
        self._head_with(whose, tr(TO_DO) if self.matters else "Bench")
        reading = {
            (one.device.name, one.channel) for one in seen if one.reading is not None and not one.trouble
        }
        channels = [(device, channel) for device in facts.devices for channel in device.channels]
        waiting = {(one.device.name, one.channel) for one in seen if one.trouble}
        quiet = [channel_name(*one) for one in channels if (one[0].name, one[1]) not in reading | waiting]
        self._say_quietly(facts, quiet)
        if not self.matters:
            self.line(tr("Nothing is due."), self.sizes.instruction, True, d.KELP, "good")
        self._lay_both(facts, [one for one in channels if (one[0].name, one[1]) in reading])
        self._laid = [widget for widget in self.children if widget not in before]

    def _say_quietly(self, facts: BenchFacts, quiet: Sequence[str]) -> None:
        """Under the devices, as far as there is room: which do not read yet, how the bench stands to its workshop (all
        benches says it, too), what will be typed (where something is due, only the make says that)."""
        s = self.sizes
        said = [tr("No reading yet: {names}.", names=", ".join(quiet))] if quiet else []
        said += [in_words(facts.workshop)] if facts.workshop else []
        said += () if self.matters else facts.missing
        for text in said:
            words = TextLabel(text, s.small, d.SLATE)
            if self.pen_y - self.low - words.height_at(self.wide) < s.action + s.gap:
                break
            self.at_foot(words, 0.4)

    def _lay_both(self, facts: BenchFacts, reading: Sequence[tuple[DeviceSettings, str]]) -> None:
        """The tiles and the rows: beside each other where the glass is wide, else the rows first."""
        s, whole = self.sizes, self.room
        rows = tiles = whole
        if self.matters and reading:
            line = DeviceTile.low(s) + s.gap * 0.4
            under_each_other = len(reading) * line <= whole.top - whole.low
            if self.panel.width >= BESIDE_PX and under_each_other:
                tiles = whole._replace(width=whole.width * TILES_SHARE)
                left = tiles.left + tiles.width + s.gap
                rows = whole._replace(left=left, width=whole.left + whole.width - left)
            else:
                columns = 1 if self.panel.portrait else 2
                lines = min(
                    -(-len(reading) // columns), int((whole.top - whole.low - s.action - s.gap * 0.6) / line)
                )
                reading = reading[: lines * columns]
                split = whole.low + lines * line
                rows, tiles = whole._replace(low=split + s.gap * 0.2), whole._replace(top=split - s.gap * 0.4)
        if self.matters:
            lay_matters(self, self.matters, rows, partial(self._every, self.matters))
        if reading:
            self._tiles(facts, reading, tiles)

    def _tiles(self, facts: BenchFacts, reading: Sequence[tuple[DeviceSettings, str]], area: Area) -> None:
        """One for each channel that reads, as high as there is room, and as many."""
        s = self.sizes
        columns = 1 if self.panel.portrait or len(reading) == 1 or area.width < self.wide / 2 else 2
        between = s.gap * 0.4
        wide = (area.width - s.gap * (columns - 1)) / columns
        least = DeviceTile.low(s) + between
        lines = min(-(-len(reading) // columns), max(int((area.top - area.low + between) / least), 0))
        reading = reading[: lines * columns]
        if not reading:
            return
        high = (area.top - area.low - between * (lines - 1)) / lines
        font = DeviceTile.font_in(s, wide, high)
        high = min(high, TALLEST * DeviceTile.upright(s, font))
        for n, (device, channel) in enumerate(reading):
            line, column = divmod(n, columns)
            y = area.top - line * (high + between)
            tile = DeviceTile(s, device, channel, facts.checked.get(device.name, ""), font)
            tile.lay(Area(area.left + column * (wide + s.gap), y - high, wide, y))
            self.rows.append(tile)
            self.add_widget(tile)
