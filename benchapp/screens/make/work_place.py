"""Where the work stands on the glass: the order, the reading, the rule or picture, the next move, the reasons. Each has
its place in one grid; what has no room on a small glass gives way in a fixed order."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.uix.widget import Widget

from benchapp.foundation.language import translated
from benchapp.make.guidance_levels import Level
from benchapp.make.pictures import (
    BandPicture,
    BatchPicture,
    BottlesPicture,
    CoolPicture,
    HeatPicture,
    ListPicture,
    PourOverPicture,
    TimerPicture,
    VesselPicture,
)
from benchapp.make.view_model import ViewModel
from benchapp.make.vocabulary import Stage
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.drawing import Drawing
from benchapp.screens.drawings.rule_drawings import rule_high
from benchapp.screens.make.accept_countdown import AcceptCountdown
from benchapp.screens.make.guidance_text import GuidanceText
from benchapp.screens.make.live_readouts import LiveReadouts
from benchapp.screens.make.move_line import MoveLine
from benchapp.screens.make.order_label import WIDE_PX, OrderLabel
from benchapp.screens.make.phase_rail import PhaseRail
from benchapp.screens.make.remedy_rows import BESIDE_ROWS, Box, lay_remedies
from benchapp.screens.widgets.button import TouchButton
from benchapp.screens.widgets.text_label import natural_wide, wrapped_high

#: Pictures that lie along the rule; the others stand beside the work.
RULES = (VesselPicture, TimerPicture, BandPicture, ListPicture)
#: What is watched from where one works, and not only read up close.
THERMAL = (HeatPicture, CoolPicture, PourOverPicture)
#: The share of the width that the sheet and a picture have.
RAIL_SHARE, PICTURE_SHARE = 0.27, 0.4
#: A finished batch has more of it once nothing is read or signed any more.
SHARES, BATCH_ALONE = {BatchPicture: 0.51, BottlesPicture: 0.26}, 0.62
#: The share of the height that the sheet and a picture have on an upright glass.
UPRIGHT_RAIL, UPRIGHT_PICTURE, UPRIGHT_ALONE = 0.22, 0.34, 0.5


class WorkPlace:
    """Lays itself out in a box of its screen; numbers change without anything moving."""

    def __init__(self, screen: Widget, sizes: Sizes, guidance: Level) -> None:
        self._screen, self.sizes = screen, sizes
        self.instruction = OrderLabel(sizes)
        self.text = GuidanceText(sizes, guidance)
        self.moves = MoveLine(sizes)
        self.rail = PhaseRail(sizes)
        self.drawing = Drawing(sizes.line, sizes.figures)
        self.countdown = AcceptCountdown(sizes)
        self.readouts = LiveReadouts(screen, sizes)
        self._noticed = self._rows = False
        self._moves_box = self._text_box = (0.0, 0.0, 0.0, 0.0)
        for part in (self.instruction, *self.text.parts, self.moves, self.rail, self.drawing):
            screen.add_widget(part)

    # --- what changes often ---------------------------------------------------------------------------

    def numbers(self, m: ViewModel) -> None:
        """Only numbers have changed."""
        self.readouts.numbers(m)
        self.countdown.show(m.act_view.live[0] if m.act_view.live else None, m.act_view.taking)

    def words(self, m: ViewModel, notice: str) -> None:
        """The picture, the move, the sheet and the reasons."""
        self.drawing.show(m.act_view.picture)
        self._make_room(notice)
        self.moves.show(m)
        self.rail.show(m.sheet)
        taking_top = self.countdown.top if m.act_view.taking is not None else None
        drawn = isinstance(m.act_view.picture, CoolPicture) and bool(
            m.act_view.picture.fan and self.moves.minutes.text
        )
        self.text.show(m, notice, taking_top, self.moves.says_wait or drawn)

    def _make_room(self, notice: str) -> None:
        """What was typed in vain stands in the place of the move while it is said."""
        if bool(notice) == self._noticed:
            return
        self._noticed = bool(notice)
        left, width, low, top = self._text_box
        move = self._moves_box
        if notice and move[1]:
            self.moves.clear()
            self.text.place(left, width, low, max(top, move[3]))
        elif move[1]:
            self.moves.place(move)
            self.text.place(*self._text_box)

    # --- laying out -----------------------------------------------------------------------------------

    def clear(self) -> None:
        """Nothing stands there."""
        self.readouts.clear()
        self.text.clear()
        self.moves.clear()
        self.rail.place(0.0, 0.0, 0.0, 0.0)
        self.rail.show(())
        self.instruction.text, self.instruction.size = "", (0, 0)
        self.text.said_above = ""
        self.drawing.size = (0, 0)
        self.drawing.show(None)
        self._screen.remove_widget(self.countdown)
        self._screen.add_widget(self.countdown)  # over whatever is laid out

    def lay_out(self, m: ViewModel, box: Box, rows: Sequence[TouchButton]) -> None:
        """Everything in its place; ``rows`` are the remedies that are chosen from here."""
        self._rows = bool(rows)
        if m.act_view.struck:
            self._struck(m, box)
            return
        if rows:
            box = lay_remedies(self.sizes, rows, box)
        aside = m.act_view.picture is not None and not isinstance(m.act_view.picture, RULES)
        close = self.sizes.between if isinstance(m.act_view.picture, THERMAL) else self.sizes.note
        filling = isinstance(m.act_view.picture, BottlesPicture)  # its limits are read while it is poured
        self.drawing.font = close if aside and not filling else self.sizes.line
        if self.sizes.panel.portrait and not (aside and rows):
            box = self._upright(m, box, aside, bool(rows))
        elif aside and not rows and not self.sizes.panel.portrait:
            box = self._beside_picture(m, box)
        elif _adds(m) and self.sizes.panel.width >= WIDE_PX and not rows and m.act_view.stage != Stage.REMEDY:
            wide = box.wide * RAIL_SHARE
            self.rail.place(box.left, box.low, wide, box.top)
            box = box._replace(left=box.left + wide + 1.5 * self.sizes.gap)
        self._column(m, box, RULES if not aside else (type(m.act_view.picture),) if rows else ())
        if self.sizes.panel.portrait and aside and not rows:
            self._lend(m, box)

    def _struck(self, m: ViewModel, box: Box) -> None:
        """The order stands over everything: the reading, and under it what has happened, and nothing that invites on."""
        y = self.readouts.lay(m, box, box.top) - self.sizes.gap
        said = f"{translated(m.act_view.news)} {m.act_view.note}".rstrip()
        self.instruction.tell(said, box.left, box.wide, (box.low, y))
        self._text_box = (box.left, box.wide, box.low, box.low)
        self.text.place(*self._text_box)

    def _lend(self, m: ViewModel, box: Box) -> None:
        """A strip off the picture under the work, where what is said before a weight is taken lacks room."""
        weighing = bool(m.act_view.live) and m.act_view.live[0].unit == "g"
        lack = self.countdown.least_high(box.wide) - self.countdown.room if weighing else 0.0
        if 0.0 < lack < self.drawing.height / 2:
            self.drawing.height -= lack
            self.countdown.place(box.left, box.low - lack, box.wide, self.countdown.room + lack)

    def _draw_in(self, box: Box) -> None:
        self.drawing.pos, self.drawing.size = (box.left, box.low), (box.wide, max(box.top - box.low, 0.0))

    def _beside_picture(self, m: ViewModel, box: Box) -> Box:
        """The picture at one side, the order over everything where it would leave the readings no room."""
        s = self.sizes
        share = SHARES.get(type(m.act_view.picture), PICTURE_SHARE if not m.act_view.live else 0.34)
        if m.over:
            share = BATCH_ALONE
        if len(m.act_view.live) > 1 and type(m.act_view.picture) not in SHARES:
            share = 0.28 if s.panel.height < WIDE_PX / 2 + 1 else 0.34
        wide = box.wide * share
        x = box.left + wide + 1.5 * s.gap
        self.instruction.text = self.instruction.put(m.act_view.instruction)
        self.instruction.font_size = s.instruction
        room = box.top - box.low - self._needed(m, box.right - x)
        over = self.instruction.with_then(m, box.wide) != self.instruction.text
        if m.act_view.live and (over or self.instruction.height_at(box.right - x) > room):
            top = self._instruct(m, box.left, box.right, box.top, s.instruction)
            self._beside_order(m, box, top)
            box = box._replace(top=top)
        self._draw_in(Box(box.left, box.left + wide, box.low, box.top))
        return box._replace(left=x + (1.5 * s.gap if type(m.act_view.picture) in SHARES else 0.0))

    def _beside_order(self, m: ViewModel, box: Box, low: float) -> None:
        """The move and the minutes in line with an order of one line, where a low glass has no other room for them."""
        wide = natural_wide(self.instruction.text, round(self.instruction.font_size)) + 2
        if wide <= box.wide:
            self.instruction.place(box.left, box.top, wide)
            left = box.left + wide + 2 * self.sizes.gap
            self.moves.show(m, (left, box.right - left, box.top - self.moves.row, box.top))
            if self.moves.right_end > box.right or self.moves.y < low - self.sizes.gap:
                self.moves.clear()

    def _needed(self, m: ViewModel, width: float) -> float:
        """How high the readings are with the minutes and one line of reasons."""
        least = max(self.moves.needed(m, width)[0], self.moves.row if m.act_view.move else 0.0)
        return (
            self.readouts.high(m)
            + least
            + self.sizes.gap
            + (self.sizes.note * 1.2 if m.act_view.not_yet else 0.0)
        )

    def _upright(self, m: ViewModel, box: Box, aside: bool, rows: bool) -> Box:
        """On an upright glass the picture or the sheet lies under the work."""
        if not aside and (not _adds(m) or rows):
            return box
        share = UPRIGHT_PICTURE if aside else UPRIGHT_RAIL
        if not m.act_view.live:
            share = UPRIGHT_ALONE
        height = (box.top - box.low) * share
        if aside:
            self._draw_in(Box(box.left, box.right, box.low, box.low + height))
        else:
            self.rail.place(box.left, box.low, box.wide, box.low + height)
        return box._replace(low=box.low + height + self.sizes.gap)

    def rows_fit(self, m: ViewModel, count: int, room: float) -> bool:
        """Whether so many remedies have room as rows, beside the order and the reading or under them."""
        s = self.sizes
        rows = s.action * count + s.gap * (count + 1)
        wide = s.panel.width - 2.0 * s.pad
        if not s.panel.portrait:
            wide = wide * BESIDE_ROWS - 1.5 * s.gap
        order = wrapped_high(self.instruction.put(m.act_view.instruction), s.instruction, True, int(wide))
        work = order + self.readouts.high_alone(m) + s.gap
        work += 0.0 if s.panel.portrait else s.note * 1.25
        if s.panel.portrait:
            return rows + work + s.gap <= room
        return s.panel.width >= WIDE_PX and max(rows, work) <= room

    def _instruct(self, m: ViewModel, left: float, right: float, top: float, size: int) -> float:
        self.instruction.font_size = size
        self.instruction.text = self.instruction.with_then(m, right - left)
        whole = self.instruction.text != self.instruction.put(m.act_view.instruction)
        in_rows = m.act_view.note if self._rows else ""  # what keeping the formula takes stands in its row
        self.text.said_above = m.act_view.then if whole else in_rows
        return self.instruction.place(left, top, right - left) - self.sizes.gap * 0.5

    def _column(self, m: ViewModel, box: Box, inside: tuple[type, ...]) -> None:
        """Order, readings, rule, move, and under them what is read up close. ``inside``: the pictures that are drawn
        here rather than beside it."""
        top = self._order(m, box)
        least = self._least_high(m, box._replace(top=top))
        top = self.text.wear_first(m, box.left, box.wide, (box.low + least, top))
        read_to = self.readouts.lay(m, box, top)
        least, whole, placed = self._moves_beside(m, box)
        reasons = self.text.reasons_high(m, box.wide)
        y = self._lay_rule(m, box._replace(top=read_to), least + reasons, inside)
        if m.act_view.too_much is not None:
            least = whole = 0.0  # STOP stands above it all
        high = whole if y - box.low - reasons >= whole else least if y - box.low >= least else 0.0
        y = self._lay_moves(m, box, y, high, placed)
        self._noticed, self._moves_box = False, self.moves.box
        self._text_box = (box.left, box.wide, box.low, y)
        self.text.place(*self._text_box)
        # Above it stands a rule or a move, with room of their own.
        spare = self.sizes.gap * 0.5 if y < read_to else 0.0
        self.countdown.place(box.left, box.low, box.wide, y - box.low + spare)

    def _order(self, m: ViewModel, box: Box) -> float:
        """The order, unless it stands over everything already; returns where what follows begins."""
        s = self.sizes
        if self.instruction.text and self.instruction.height and self.instruction.top >= box.top:
            return box.top
        size = s.instruction
        if not m.act_view.live and m.trouble is None:  # there is nothing else to read
            below = rule_high(s.line) if isinstance(m.act_view.picture, RULES) else 0.0
            room = box.top - box.low - below - self.text.needed(m, box.wide)
            size = self.instruction.size_for(m, box.wide, room)
        return self._instruct(m, box.left, box.right, box.top, size)

    def _moves_beside(self, m: ViewModel, box: Box) -> tuple[float, float, bool]:
        """How high the move is under the readings, at the least and with all that is said with it; 0 where it stands beside the
        order, or was put beside a countdown here: whether it was."""
        if self.moves.width:  # in line with the order already
            return 0.0, 0.0, True
        least, whole = self.moves.needed(m, box.wide)
        if self.instruction.font_size >= self.sizes.across and not least:
            whole = 0.0  # the order itself is as large
        beside = self._room_beside(m, box)
        if beside is None or not m.act_view.move:
            return least, whole, beside is not None
        self.moves.show(m, beside)
        if self.moves.move.text:
            return 0.0, 0.0, True
        self.moves.clear()  # too long for the place beside the countdown
        return least, whole, False

    def _lay_moves(self, m: ViewModel, box: Box, top: float, high: float, placed: bool) -> float:
        """The move from ``top`` downwards, so high; returns where what follows begins. ``placed``: it stands elsewhere."""
        if high:
            low = top - high - self.sizes.gap * 0.3
            self.moves.show(m, (box.left, box.wide, max(top - high, box.low), top))
            if self.moves.y >= box.low - 1:
                return low
            self.moves.clear()  # no room: the wait stands in the reasons
        elif not placed:
            self.moves.clear()
        return top

    def _least_high(self, m: ViewModel, box: Box) -> float:
        """What a pouring takes under its order: the reading, the reasons or what is said as a weight is taken, and the rule and
        the move where they have room at all."""
        reading = self.readouts.high(m, box.wide)
        taking = self.countdown.least_high(box.wide) if m.act_view.taking is not None else 0.0
        least = reading + max(self.text.reasons_high(m, box.wide), taking) + self.sizes.gap * 0.5
        rule = (
            rule_high(self.sizes.line) + self.sizes.gap * 0.5
            if isinstance(m.act_view.picture, RULES)
            else 0.0
        )
        move = max(self.moves.needed(m, box.wide)) + self.sizes.gap * 0.3
        if m.meanwhile is not None and m.meanwhile.calls:
            return least + rule  # the limits are needed to end it, and the signs above say what is worn
        room = box.top - box.low
        return next((high for high in (least + rule + move, least + rule) if high <= room), least)

    def _lay_rule(self, m: ViewModel, box: Box, kept: float, inside: tuple[type, ...]) -> float:
        """The rule at the top of the box, where it leaves ``kept`` pixels under it; returns where what follows begins."""
        s, picture = self.sizes, m.act_view.picture
        if not isinstance(picture, inside):
            return box.top
        if m.act_view.too_much is not None and m.act_view.note != self.text.said_above:
            return box.top  # what can be done about it goes before how it stands
        high = rule_high(s.line)
        if not isinstance(picture, RULES):
            high = max(box.top - box.low, high)  # all there is beside the remedies
        if box.top - box.low - kept < high:
            return box.top
        self._draw_in(box._replace(low=box.top - high))
        return box.top - high - s.gap * 0.5

    def _room_beside(self, m: ViewModel, box: Box) -> tuple[float, float, float, float] | None:
        """Where the move stands beside a countdown; None where there is none."""
        if len(self.readouts.all) != 1 or m.act_view.live[0].unit != "s":
            return None
        reading = self.readouts.all[0]
        left = box.left + reading.number_wide(m.act_view.live[0]) + 2 * self.sizes.gap
        middle = reading.y + (reading.height + self.moves.row) / 2
        return left, box.right - left, reading.y, middle


def _adds(m: ViewModel) -> bool:
    """Whether a sheet of what is weighed stands beside the order: of steps and tasks the line of time and the order say enough,
    beside a wait there is enough to look at, and beside a pot that is asked about its grams would be taken for the pot's."""
    asked = isinstance(m.act_view.picture, BandPicture)
    return m.meanwhile is None and not asked and any(line.target_g is not None for line in m.sheet)
