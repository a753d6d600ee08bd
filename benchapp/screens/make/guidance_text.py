"""What is read up close beside the live values: why not yet, how long still, what to do."""

from __future__ import annotations

from benchapp.make.guidance import coaching, note_at
from benchapp.make.guidance_levels import Level
from benchapp.make.pictures import CoolPicture, HeatPicture
from benchapp.make.view_model import TOO_MUCH, ViewModel
from benchapp.make.waits import forecast
from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import short_forecast
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.make.caution_pages import named
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high

#: Waits that are watched from where one works, with nothing in the hands.
WATCHED = (HeatPicture, CoolPicture)


class GuidanceText:
    """As much of it as there is room for; what has no room stands in "More" all the same."""

    def __init__(self, sizes: Sizes, guidance: Level) -> None:
        self._sizes, self.guidance = sizes, guidance
        self.note = TextLabel("", sizes.note, d.INK)
        self.why = TextLabel("", sizes.line, d.INK, bold=True)
        self.when = TextLabel("", sizes.note, d.INK)
        self.bites = TextLabel("", sizes.note, d.INK, bold=True)  # what it is that burns or bites, by name
        self.coach = TextLabel("", sizes.small, d.INK)  # why, right and wrong, where full guidance is wanted
        self.parts = (self.note, self.why, self.when, self.bites, self.coach)
        self.said_above = ""  # what of the note stands with the instruction
        self._worn_above = False  # what bites stands under the order
        self.left_out = 0  # reasons that have no room here
        self._box = (0.0, 0.0, 0.0, 0.0)  # left, width, low, top
        self._shown: tuple[object, ...] = ()

    def clear(self) -> None:
        """Nothing stands there."""
        for words in self.parts:
            words.text, words.size = "", (0, 0)

    def wear_first(self, m: ViewModel, left: float, width: float, room: tuple[float, float]) -> float:
        """What bites, and what is worn against it, right under the order where something is poured: it comes before the pouring.
        ``room``: its low and its top end, in pixels. Returns where what follows begins."""
        low, top = room
        pouring = bool(m.act_view.live) and m.act_view.live[0].unit == "g"
        self.bites.text = (
            "\n".join(self._sizes.figures.text(x) for x in named(m.cautions, m.act_view)) if pouring else ""
        )
        self._worn_above = False
        for size in self._sizes.ladder[:3]:
            self.bites.font_size = size
            if self.bites.text and self.bites.height_at(width) <= top - low:
                self._worn_above = True
                return self.bites.place(left, top, width)
        self.bites.text, self.bites.size = "", (0, 0)
        return top

    def place(self, left: float, width: float, low: float, top: float) -> None:
        """Where it goes; it is drawn anew by the next ``show``."""
        self._box, self._shown = (left, width, low, top), ()

    @staticmethod
    def reasons_of(m: ViewModel) -> list[str]:
        """Why not yet, without what stands large already: how much a reading lacks, and that it is too much."""
        said = {live.lacks for live in m.act_view.live if live.lacks}
        if m.act_view.too_much is not None:
            said.add(TOO_MUCH)
        return [why for why in m.act_view.not_yet if why not in said]

    def needed(self, m: ViewModel, width: float) -> float:
        """How high the reasons and the note are at that width."""
        s = self._sizes
        high = 0.0
        for words, size, bold in (
            (" ".join(self.reasons_of(m)), s.line, True), (note_at(m, self.guidance), s.note, False),
            ("\n".join(named(m.cautions, m.act_view)), s.note, True),
        ):  # fmt: skip
            if words:
                high += wrapped_high(words, size, bold, int(width)) + s.gap
        return high + s.small * 1.5

    def reasons_high(self, m: ViewModel, width: float) -> float:
        """How high the reasons are at that width, as they are read from where one works."""
        put = self._sizes.figures.text
        reasons = " ".join(put(why) for why in (m.act_view.news, *self.reasons_of(m)) if why)
        return (
            wrapped_high(reasons, self._sizes.line, True, int(width)) + self._sizes.gap * 0.4
            if reasons
            else 0.0
        )

    def show(self, m: ViewModel, notice: str, taking_top: float | None, wait_said: bool) -> None:
        """Draw it where it changed. ``taking_top``: up to where a reading that is about to be taken says so itself;
        ``wait_said``: how long still stands elsewhere."""
        put = self._sizes.figures.text
        not_yet = [] if taking_top is not None else self.reasons_of(m)
        news = "" if m.act_view.struck else m.act_view.news  # it stands there large
        why = [put(text) for text in (news, notice, *not_yet) if text]
        wait_said = wait_said or any(x.unit == "s" for x in m.act_view.live)
        when = put(forecast(m.act_view.forecast)) if m.act_view.forecast and not wait_said else ""
        note = put(note_at(m, self.guidance).removeprefix(self.said_above).strip())
        bites = [put(text) for text in named(m.cautions, m.act_view)]
        coach = [put(text) for text in coaching(m, self.guidance)]
        before, self._shown = self._shown, ("\n".join(why), when, note, taking_top is not None)
        if before == self._shown:
            return
        self.coach.text = ""
        if not self._worn_above:
            self.bites.text = ""
        self.why.color = (*(d.CORAL if m.over else d.INK), 1)  # what still keeps a finished batch here
        left, width, low, top = self._box
        if taking_top is not None:
            low = max(low, taking_top)
        # The last line may reach into the gap above the buttons.
        room = top - low + (self._sizes.gap * 0.8 if taking_top is None else 0.0)
        self.note.font_size = self.when.font_size = self._sizes.note
        when = self._fitting_wait(m, why, when, room)
        fits = (self._fitting_why(m, why, room, when), when, note)
        for words, text in zip((self.why, self.when, self.note), fits, strict=True):
            high = self._high(words, text)
            if not text or high > room:
                words.text, words.size = "", (0, 0)
            else:
                room -= high
        above = () if self._worn_above else ((self.bites, bites, self._sizes.note),)
        for words, lines, least in (*above, (self.coach, coach, self._sizes.small)):
            room -= self._as_many(words, lines, room, least)
        under = () if self._worn_above else (self.bites,)
        for words in (*under, self.note, self.when, self.coach):
            room -= self._grown(words, room)
        if isinstance(m.act_view.picture, WATCHED) and self.note.font_size < self._sizes.between:
            self.note.text, self.note.size = "", (0, 0)  # too small for where one waits: it stands in More
        y = top
        for words in (*under, self.note, self.why, self.when, self.coach):
            if words.text:
                y = words.place(left, y, width) - self._sizes.gap * 0.4

    def _fitting_wait(self, m: ViewModel, why: list[str], when: str, room: float) -> str:
        """The wait, short where there is little room."""
        self.why.font_size = self._sizes.line
        if (
            when
            and m.act_view.forecast
            and self._high(self.when, when) + self._high(self.why, "\n".join(why)) > room
        ):
            return short_forecast(m.act_view.forecast)
        return when

    def _fitting_why(self, m: ViewModel, why: list[str], room: float, when: str) -> str:
        """The reasons: in lines of their own, else run on, else smaller; what has no room even so is counted in
        ``left_out``."""
        self.left_out, text = 0, ""
        if when and m.act_view.forecast:
            room -= self._high(self.when, short_forecast(m.act_view.forecast))
        for font in dict.fromkeys(self._sizes.ladder):
            self.why.font_size = font
            for text in ("\n".join(why), " ".join(why)):
                if self._high(self.why, text) <= room:
                    return text
        for self.left_out in range(1, len(why) + 1):
            text = " ".join(why[: -self.left_out])
            if self._high(self.why, text) <= room:
                break
        return text

    def _as_many(self, words: TextLabel, lines: list[str], room: float, least: int) -> float:
        """As many of these lines as there is room for, smaller before they are fewer but not under ``least`` pixels; returns
        how high they are."""
        words.font_size = self._sizes.note
        if self._high(words, "\n".join(lines)) > room:
            words.font_size = least
        while lines and self._high(words, "\n".join(lines)) > room:
            lines.pop()
        return self._high(words, "\n".join(lines))

    def _high(self, words: TextLabel, text: str) -> float:
        """How high these words would be with this text; leaves the text in them."""
        words.text = text
        return words.height_at(self._box[1]) + self._sizes.gap * 0.4 if text else 0.0

    def _grown(self, words: TextLabel, room: float) -> float:
        """Larger words where there is room for them, from a few sizes only (each new size costs memory); returns how much
        higher they are."""
        if not words.text:
            return 0.0
        was, high = words.font_size, words.height_at(self._box[1])
        for words.font_size in (size for size in self._sizes.ladder if size > was):
            more = words.height_at(self._box[1]) - high
            if more <= room:
                return float(more)
        words.font_size = was
        return 0.0
