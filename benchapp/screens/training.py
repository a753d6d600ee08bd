"""Training on the glass: what can be practised, its goal, how it went, and who may do what."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from kivy.graphics import Color, RoundedRectangle

from benchapp.screens import design as d
from benchapp.screens.drawings.shapes import draw_shape
from benchapp.screens.home import Labelled, Page
from benchapp.screens.leaves import LeavesPage, Told, turning
from benchapp.screens.parts import Press, Words

if TYPE_CHECKING:
    from benchapp.make.moment import Moment
    from benchapp.rehearsal.debrief import Debrief
    from benchapp.screens.panel import Panel, Sizes
    from benchapp.screens.training_ways import TrainingWays
    from benchapp.service.training_facts import Competent, Held, Practice, Practices

#: The row of a whole batch in which nothing is made to go wrong.
WHOLE = ("A whole batch", "Nothing is made to go wrong. Walk a batch from its first step to its last.")
#: What is said on every page before a rehearsal begins.
SIMULATED = "On a simulated bench: it reads nothing real, and nothing of it can be sold."
#: The share of the width a row's press takes, and how many levels there are to hold.
PRESS_SHARE = 0.36
LEVELS = ("rehearsed", "supervised", "independent")


class PracticePage(Page):
    """Everything that can be practised: a press with its title, and its goal beside it."""

    def __init__(self, panel: Panel, sizes: Sizes, found: Practices, ways: TrainingWays, number: int) -> None:
        super().__init__(panel, sizes, "Practise")
        self.line(SIMULATED, sizes.small)
        self._columns = 2 if panel.width >= 1280 else 1
        self._cell = (self.wide - sizes.gap * 2 * (self._columns - 1)) / self._columns
        rows: list[tuple[str, str, Callable[[], None] | None]] = [(*WHOLE, ways.practise_whole)]
        rows += [("", text, None) for text in found.broken]
        rows += [(p.title, p.goal, partial(ways.practice, p)) for p in found.found]
        below: list[Labelled] = [("Back", ways.home, "plain")]
        who: Labelled = ("Who may do what", ways.competence, "plain")
        self.low = self.above_bottom
        room = self.rows_that_fit() * self._columns
        pages = -(-len(rows) // room)
        number = min(number, pages - 1)
        self.bottom([*below, *turning(number, pages, ways.practices), who])
        for nth, row in enumerate(rows[number * room : (number + 1) * room]):
            self._row(nth, *row)

    def _row(self, nth: int, title: str, goal: str, act: Callable[[], None] | None) -> None:
        s = self.sizes
        down, across = divmod(nth, self._columns)
        top = self.pen_y - down * (s.action + s.gap)
        left = self.left + across * (self._cell + 2 * s.gap)
        indent = 0.0
        if act is not None:
            press = Press(title, act, "plain", s.note)
            press.size, press.pos = (self._cell * PRESS_SHARE, s.action), (left, top - s.action)
            self.add_widget(press)
            indent = press.width + s.gap
        words = Words(goal, s.small, d.CORAL if act is None else d.INK, bold=act is None)
        self.add_widget(words)
        self.words.append(words)
        wide = self._cell - indent
        if words.height_at(wide) > s.action:  # the whole of it stands on the page of its goal
            words.text = _shortened(words, goal, wide, s.action)
        words.place(left + indent, top - (s.action - words.height_at(wide)) / 2, wide)


def _shortened(words: Words, text: str, wide: float, high: float) -> str:
    """As many of the words as there is room for."""
    parts = text.split()
    while len(parts) > 1 and words.height_at(wide) > high:
        parts.pop()
        words.text = " ".join(parts) + " …"
    return str(words.text)


def goal_page(panel: Panel, sizes: Sizes, p: Practice, ways: TrainingWays) -> Page:
    """One scenario and its goal, before anything begins."""
    page = _goal(panel, sizes, p)
    page.bottom([("Back", ways.practices, "plain"), ("Begin", partial(ways.practise_by, p), "main")])
    page.line(SIMULATED, sizes.note)
    page.line(f"It teaches: {_kinds(p.teaches)}.", sizes.note)
    return page


def _goal(panel: Panel, sizes: Sizes, p: Practice) -> Page:
    page = Page(panel, sizes, p.title)
    page.low = page.above_bottom
    large = round(sizes.note * 1.3)
    if not page.line(p.goal, large, bold=True):
        page.line(p.goal, sizes.note, bold=True)
    return page


class LeadInPage(Page):
    """The goal, while the simulated hands walk the batch to where the scenario begins."""

    def __init__(self, panel: Panel, sizes: Sizes, p: Practice, stop: Callable[[], None]) -> None:
        super().__init__(panel, sizes, p.title)
        self.bottom([("Stop", stop, "plain")])
        self.line(p.goal, round(sizes.note * 1.3), bold=True)
        self.line("The simulated hands make the batch up to where it begins. Then it is yours.", sizes.note)
        self.step = Words(" ", sizes.note, d.SLATE, bold=True)
        self.add_widget(self.step)
        self.step.place(self.left, self.pen_y, self.wide)

    def show(self, moment: Moment) -> None:
        """How far they are."""
        text = f"Step {moment.step_number} of {moment.step_count}: {moment.step_title}"
        if self.step.text != text:
            self.step.text = text
            self.step.place(self.left, self.step.top, self.wide)


# --- how it went ---------------------------------------------------------------------------------------------


class DebriefPage(LeavesPage):
    """The verdict over the pages of what happened, what it did to the batch, and what a master would have done."""

    def __init__(
        self,
        panel: Panel,
        sizes: Sizes,
        found: Debrief,
        key: str,
        ways: TrainingWays,
        back: Labelled,
        number: int,
    ) -> None:
        again: list[Labelled] = [("Once more", partial(ways.practise_again, key), "main")] if key else []
        super().__init__(
            panel, sizes, _verdict(found), debrief_lines(found),
            partial(ways.debrief_page, found, key, back), number, [back], again,
            size=sizes.note if panel.height >= 800 else sizes.small,
        )  # fmt: skip
        shape, colour = ("tick", d.KELP) if found.verdict.reached else ("stop", d.CORAL)
        if found.verdict.broken_off:
            shape, colour = "gap", d.SLATE
        head = self.words[0]
        side = sizes.instruction * 1.05
        head.color = (*colour, 1)
        head.place(self.left + side + sizes.gap, head.top, self.wide - side - sizes.gap)
        with self.canvas:
            draw_shape(shape, self.left, head.top - side, side, colour)


def _verdict(found: Debrief) -> str:
    from benchapp.rehearsal.debrief import verdict_words

    return verdict_words(found.verdict)


def debrief_lines(found: Debrief) -> list[Told]:
    """A debrief from the goal to what a master would have done."""
    from benchapp.rehearsal.debrief import minutes

    out = [Told(f"{found.title}, {found.maker}", color=d.SLATE), Told(found.goal)]
    out += [Told(why, bold=True) for why in found.verdict.why]
    out += [Told("What a master would have done", head=True), Told(found.master)]
    if found.timeline:
        out.append(Told("What happened", head=True))
        out += [
            Told(line.text, bool(line.mark), _ink(line.mark), line.mark, minutes(line.after_s).strip())
            for line in found.timeline
        ]
    if found.effects:
        out.append(Told("What it did to the batch", head=True))
        out += [Told(text) for text in found.effects]
    return out


def _ink(mark: str) -> d.RGB:
    return {"good": d.KELP, "bad": d.CORAL}.get(mark, d.INK)


# --- who may do what -----------------------------------------------------------------------------------------


def summary(one: Competent) -> str:
    """A person in one line: how many kinds of step at which level."""
    counts = {level: sum(h.level == level for h in one.held) for level in reversed(LEVELS)}
    said = [f"{level} in {n}" for level, n in counts.items() if n]
    roles = f", {', '.join(one.roles)}" if one.roles else ", not enrolled"
    return f"{one.who}{roles}: {', '.join(said) + ' kinds of step' if said else 'nothing on record yet'}"


class PersonPage(Page):
    """What one person holds: for each kind of step the level, since when, and by what."""

    def __init__(
        self,
        panel: Panel,
        sizes: Sizes,
        one: Competent,
        granters: Sequence[str],
        ways: TrainingWays,
        number: int,
    ) -> None:
        super().__init__(panel, sizes, one.who)
        for text in _standing(one, granters):
            self.line(text, sizes.small)
        self.pen_y -= sizes.gap * 0.5
        below: list[Labelled] = [("Back", ways.competence, "plain")]
        give: list[Labelled] = [("Grant a level", partial(ways.grant, one), "plain")] if granters else []
        self.low = self.above_bottom
        self._narrow = panel.portrait or panel.width < 1024
        for self._size in (sizes.note, sizes.small):
            self._high = max((self._lay(held, None) for held in one.held), default=1.0)
            if self._high * len(one.held) <= self.pen_y - self.low:
                break
        room = max(int((self.pen_y - self.low) // self._high), 1)
        pages = max(-(-len(one.held) // room), 1)
        number = min(number, pages - 1)
        self.bottom([*below, *turning(number, pages, partial(ways.person, one.who)), *give])
        for held in one.held[number * room : (number + 1) * room]:
            self._row(held)

    def _row(self, held: Held) -> None:
        side, top = self._size * 0.8, self.pen_y
        for nth in range(len(LEVELS)):
            with self.canvas:
                Color(*(d.TIDE if nth <= LEVELS.index(held.level) else d.WET_SAND))
                RoundedRectangle(
                    pos=(self.left + nth * side * 1.25, top - self._size * 1.05),
                    size=(side, side),
                    radius=[3],
                )
        self._lay(held, top)
        self.pen_y = top - self._high

    def _lay(self, held: Held, top: float | None) -> float:
        """The words of a row, beside each other or one under the other; without a top only how high they are."""
        s = self.sizes
        pips = self._size * 0.8 * 1.25 * len(LEVELS) + s.gap
        what = Words(f"{_kinds((held.kind,))}: {held.level}", self._size, d.INK, bold=True)
        since = Words(f"since {held.since}, {held.why}", self._size, d.INK)
        left = self.wide * 0.42
        whats, sinces = (self.wide - pips,) * 2 if self._narrow else (left - pips, self.wide - left - s.gap)
        highs = what.height_at(whats), since.height_at(sinces)
        if top is not None:
            for words in (what, since):
                self.add_widget(words)
                self.words.append(words)
            what.place(self.left + pips, top, whats)
            if self._narrow:
                since.place(self.left + pips, top - highs[0], sinces)
            else:
                since.place(self.left + left + s.gap, top, sinces)
        return (sum(highs) if self._narrow else max(highs)) + s.gap * 0.5


def _kinds(kinds: Sequence[str]) -> str:
    """Kinds of step as they are written, not as files spell them."""
    return ", ".join(kind.replace(" ph", " pH") for kind in kinds)


def _standing(one: Competent, granters: Sequence[str]) -> list[str]:
    out = []
    if one.witnessed:
        out.append(f"In a real make a second person signs beside them: {_kinds(one.witnessed)}.")
    missing = [kind for kind in one.kinds if kind not in {h.kind for h in one.held}]
    if one.held and missing:
        out.append(f"Nothing yet in: {_kinds(missing)}.")
    if not one.held:
        out.append("Nothing is on record yet. It begins with practising a scenario to its goal.")
    if not one.roles:
        out.append("Not enrolled here: nothing can be granted. A releaser enrols them at the desk.")
    elif not granters:
        out.append("Nobody here may grant them a level: that takes another maker or releaser.")
    return out
