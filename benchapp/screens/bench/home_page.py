"""The bench before a make: its devices with what they read now, what stands unfinished, what can be done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_noop
from benchapp.screens.bench.device_tile import VALUE_EMS, DeviceTile
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import batches_in_words, in_words, product_named, short_day
from benchapp.screens.display.phrases import batch_line
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import MARK_SHARE, Page, largest
from benchapp.screens.widgets.surface import Area
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high
from benchapp.screens.widgets.text_line import MARKS, TextLine

if TYPE_CHECKING:
    from benchapp.runtime.bench_monitor import ChannelStatus
    from benchapp.service.bench_facts import BenchFacts

#: From so many pixels on, what wants something done stands beside the devices, which take this share of the width; more
#: where no more than so many characters have to be said; less where all of them have room under each other.
BESIDE_PX, TILES_SHARE, MORE_SHARE, LESS_SHARE, LITTLE = 1000, 0.5, 0.7, 0.36, 120
#: The press for all that is due stands under it where that has so much room, as a multiple of what is pressed.
ROOM_FOR_ALL = 4.0
SAFETY = tr_noop(
    "The supplier's safety data sheet, your local rules and licensed practice come "
    "before anything this screen says. In an accident, get medical advice."
)


def notices(facts: BenchFacts) -> list[TextLine]:
    """What wants something done, the most pressing first; bold is what does."""
    lines: list[TextLine] = []
    if facts.unfinished is not None:
        batch = batch_line(facts.unfinished, facts.practised)
        lines.append(
            TextLine(_short(tr("Unfinished: {batch_line}", batch_line=batch)), True, d.CORAL, "open")
        )
    lines += [TextLine(_short(text), True, d.INK, "open") for text in facts.due]
    names = unchecked(facts)
    if names:
        first = tr("Not checked: {names}. Check the bench first.", names=", ".join(names))
        lines.append(TextLine(first, True, d.INK, "open"))
    lines += [TextLine(_short(text), True, d.INK, "known") for text in facts.running_out]
    lines += [TextLine(text, color=d.SLATE) for text in facts.missing]
    if facts.workshop:
        lines.append(TextLine(in_words(facts.workshop), color=d.SLATE))
    if not facts.due and facts.unfinished is None and not names:
        lines.insert(0, TextLine(tr("Nothing is due."), True, d.KELP, "good"))
    return lines


def _short(text: str) -> str:
    """With the days in short, so that a line seldom wraps."""
    return batches_in_words(text, short_day)


def unchecked(facts: BenchFacts) -> list[str]:
    """The devices that nobody has checked yet; on a simulated pan no weight is ever put."""
    return [device.name for device in facts.devices if device.port and not facts.checked.get(device.name)]


def _more(wanting: int, beneath: bool) -> str:
    """How many more want something done, and where they stand; a press right ``beneath`` says both itself."""
    if not wanting or beneath:
        return ""
    return tr("and {wanting} more: Settings, Upkeep", wanting=wanting)


class HomePage(Page):
    """The bench: its devices with what they read now, what stands unfinished, what is due or runs out, what can be done."""

    def __init__(
        self, sizes: Sizes, facts: BenchFacts | None, seen: Sequence[ChannelStatus], routes: Routes
    ) -> None:
        """``facts`` None: they are still being read, and every press waits for them in turn."""
        super().__init__(sizes, "Bench")
        self.bottom(self._buttons(facts, routes))
        words = TextLabel(SAFETY, sizes.small, d.SLATE)
        high = words.height_at(self.wide)
        self.hang(words)
        words.place(self.left, self.low + high, self.wide)
        self.low += high + sizes.gap * 0.5
        self.rows: list[DeviceTile] = []
        self.trouble = TextLabel("", sizes.small, d.CORAL, bold=True)
        self.add_widget(self.trouble)
        if facts is None:
            self.listed_large([TextLine(tr("Opening the journal and the bench."))])
            return
        self._whose(tr("{maker}, on {where}.", maker=facts.maker, where=facts.where))
        wrong = any(one.trouble for one in seen)
        two_tiles = 2 * DeviceTile.upright(sizes, DeviceTile.fonts(sizes)[-1]) + sizes.gap
        if self.panel.portrait or self.panel.width < BESIDE_PX or self.pen_y - self.low < two_tiles:
            self._notices(facts, Area(self.left, self.low, self.wide, self.pen_y), self._notices_share(facts))
            self._tiles(facts, Area(self.left, self.low, self.wide, self._notices_end))
        else:
            little = sum(len(line.text) for line in notices(facts)) <= LITTLE and not wrong
            share = MORE_SHARE if little else LESS_SHARE if self._one_column(facts) else TILES_SHARE
            tiles = self.wide * share
            self._tiles(facts, Area(self.left, self.low, tiles, self.pen_y))
            x = self.left + tiles + 2 * sizes.gap
            self._notices(
                facts,
                Area(x, self.low, self.left + self.wide - x, self.pen_y),
                0.8 if wrong else 0.97,
                routes.upkeep,
            )
        self.live(seen)

    def _one_column(self, facts: BenchFacts) -> bool:
        """Whether all channels have room under each other in the narrow share of the width."""
        s, font = self.sizes, DeviceTile.fonts(self.sizes)[-1]
        channels = sum(len(device.channels) for device in facts.devices)
        high = channels * (DeviceTile.high(s, font) + s.gap * 0.5)
        return high <= self.pen_y - self.low and DeviceTile.wide(s, font) <= self.wide * LESS_SHARE

    def _whose(self, said: str) -> None:
        """Who makes and on which bench: beside the title where there is room, else under it."""
        words, title = TextLabel(said, self.sizes.note, d.SLATE), self.texts[0]
        wide, high = words.natural()
        title_wide, _ = title.natural()
        title.place(self.left, title.top, title_wide)
        if title.right + 2 * self.sizes.gap + wide > self.left + self.wide:
            self.line(said, self.sizes.note)
            return
        words.pos = (self.left + self.wide - wide, title.y + (title.height - high) / 2)
        self.hang(words)

    def _notices_share(self, facts: BenchFacts) -> float:
        """How much of the height they may take over the devices: what these leave at their lowest, a fifth at the least."""
        s, room = self.sizes, self.pen_y - self.low
        channels = sum(len(device.channels) for device in facts.devices)
        rows = channels if self.panel.portrait else -(-channels // 2)
        lowest = rows * (DeviceTile.high(s, DeviceTile.fonts(s)[-1]) + s.gap * 0.4)
        return max(min(1.0 - lowest / room, 0.45), 0.2)

    def _buttons(self, facts: BenchFacts | None, routes: Routes) -> list[ButtonSpec]:
        unfinished = facts.unfinished if facts is not None else None
        several = facts is not None and facts.workshop
        check = facts is not None and unfinished is None and bool(unchecked(facts))
        benches: ButtonSpec = (tr("All benches"), routes.benches, "plain")
        buttons: list[ButtonSpec] = [
            ("Settings", routes.settings, "plain"), (tr("Past batches"), routes.batches, "plain"),
            (tr("Check the bench"), routes.checks, "main" if check else "plain"), ("Recipes", routes.own_recipes, "plain"),
            (tr("Make a batch"), routes.recipes, "plain" if unfinished or check else "main"),
        ]  # fmt: skip
        if unfinished is not None:
            name = product_named(unfinished.procedure)
            go_on: ButtonSpec = (
                tr("Go on with {name}", name=name),
                partial(routes.resume, unfinished.batch),
                "main",
            )
            named = [*buttons, *([benches] if several else []), go_on]
            if self.panel.portrait or self.in_one_row(named):
                return named
            return [*named[:-1], (tr("Go on with it"), *go_on[1:])]  # which is said over the devices
        if several:
            return [*buttons[:-1], benches, buttons[-1]]
        six = [*buttons[:-1], ("Practise", routes.practices, "plain"), buttons[-1]]
        # What to practise stands behind the shelf, too.
        return six if self.panel.portrait or self.in_one_row(six) else buttons

    def _notices(
        self, facts: BenchFacts, area: Area, share: float, every: Callable[[], None] | None = None
    ) -> None:
        """What wants something done in so much of an area: the most pressing first and larger, the others plain under it; what is
        wrong with devices comes under it. ``every`` shows all of it, and stands under what has no room."""
        s, lines = self.sizes, notices(facts)
        floor = area.top - (area.top - area.low) * share
        beside, between = area.width < self.wide, s.gap * 0.4
        fonts = (
            s.ladder[:3] if beside or self.panel.portrait else s.ladder
        )  # rather fewer of many, the others counted, than all of them small
        rest = largest(lines, fonts, int(area.width - s.line * MARK_SHARE), (area.top - floor, between))

        def sized(first: int) -> list[tuple[TextLine, int, float]]:
            found = []
            for n, line in enumerate(lines):
                size = rest if n else first
                indent = size * MARK_SHARE if line.mark else 0.0
                bold = line.bold and not n
                found.append(
                    (line, size, wrapped_high(line.text, size, bold, int(area.width - indent)) + between)
                )
            return found

        larger = [f for f in (s.instruction, *s.ladder) if f > rest]
        chosen = next(
            (x for x in map(sized, larger) if sum(high for *_, high in x) <= area.top - floor),
            sized(rest),
        )
        if area.top - area.low < ROOM_FOR_ALL * s.action:
            every = None
        if every is not None and sum(high for *_, high in chosen) > area.top - floor:
            floor = area.low + s.action + s.gap
            wanting = sum(line.bold for line in lines)
            self.grid(
                [(tr("See all {wanting}", wanting=wanting), every, "plain")],
                1,
                Area(area.left, area.low, area.width, floor - s.gap),
                s.between,
            )
        y = self._written(chosen, area, floor, every is not None)
        self._notices_end, self._trouble_at = y, Area(area.left, area.low, area.width, y)

    def _written(
        self, lines: Sequence[tuple[TextLine, int, float]], area: Area, floor: float, beneath: bool
    ) -> float:
        """The lines, each with its size and height, down to the floor; how many more there are where some have no room."""
        s, y = self.sizes, area.top
        for n, (line, size, high) in enumerate(lines):
            wanting = sum(x.bold for x, *_ in lines[n:])  # what is only missing wants nothing done
            rest = TextLabel(_more(wanting, beneath), s.small, d.CORAL, bold=True)
            below = y - high + s.gap * 0.4
            if n and below - (rest.height_at(area.width) if n + 1 < len(lines) else 0.0) < floor:
                self.hang(rest)
                return rest.place(area.left, y, area.width) - s.gap * 0.4
            indent = size * MARK_SHARE if line.mark else 0.0
            words = TextLabel(line.text, size, line.color, bold=line.bold and not n)
            self.hang(words)
            if line.mark:
                self.sign(MARKS[line.mark], size, words, (area.left, y))
            y = words.place(area.left + indent, y, area.width - indent) - s.gap * 0.4
        return y

    def _tiles(self, facts: BenchFacts, area: Area) -> None:
        """One for each channel, as many as there is room for, as high as there is room."""
        s = self.sizes
        channels = [(device, channel) for device in facts.devices for channel in device.channels]
        if not channels:
            return
        beside = area.width < self.wide  # the notices stand beside them, so all of the height is theirs
        narrow = beside and area.width < self.wide / 2
        columns = 1 if self.panel.portrait or len(channels) == 1 or narrow else 2
        between = s.gap * (0.5 if narrow else 1.0 if beside else 0.4)
        wide = (area.width - s.gap * (columns - 1)) / columns
        rows = -(-len(channels) // columns)
        room = area.top - area.low
        if not beside:
            lowest = rows * (DeviceTile.high(s, DeviceTile.fonts(s)[-1]) + between)
            room -= max(min(room - lowest, room * 0.25, s.small * 5.0), 0.0)  # what is wrong needs room, too
        high = (room - between * (rows - 1)) / rows
        font = self._value_font(wide, high)
        high = min(max(high, DeviceTile.high(s, font)), 1.5 * DeviceTile.tall(s, font))
        y = area.top
        for n, (device, channel) in enumerate(channels):
            row, column = divmod(n, columns)
            y = area.top - row * (high + between)
            if y - high < area.low - 1:
                break
            tile = DeviceTile(s, device, channel, facts.checked.get(device.name, ""), font)
            tile.lay(Area(area.left + column * (wide + s.gap), y - high, wide, y))
            self.rows.append(tile)
            self.add_widget(tile)
        if not beside:
            self._trouble_at = Area(area.left, area.low, area.width, y - high - s.gap * 0.4)

    def _value_font(self, wide: float, high: float) -> int:
        """The largest in which a value has room in a tile: under its words, else beside them."""
        s = self.sizes
        upright = min(int(wide / (VALUE_EMS + 0.4)), s.reading)
        least = s.instruction if DeviceTile.wide(s, DeviceTile.fonts(s)[-1]) <= wide else round(s.note * 1.3)
        while upright >= least:
            if DeviceTile.tall(s, upright) <= high:
                return upright
            upright -= 2
        fonts = DeviceTile.fonts(s)
        fits = (f for f in fonts if DeviceTile.wide(s, f) <= wide and DeviceTile.high(s, f) <= high)
        return next(fits, fonts[-1])

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
        text, at = "", self._trouble_at
        for sentence in sentences:
            self.trouble.text = f"{text}\n{sentence}" if text else sentence
            if at.top - self.trouble.height_at(at.width) < at.low:
                break
            text = self.trouble.text
        self.trouble.text = text
        if text:
            self.trouble.place(at.left, at.top, at.width)
        else:
            self.trouble.size = (0, 0)
