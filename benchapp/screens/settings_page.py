"""Settings: what is shown and heard, and finding the bench's devices by listening. Nothing needs a keyboard."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from benchapp.make.guidance_levels import LEVELS, Level
from benchapp.screens.home import Labelled, Page

if TYPE_CHECKING:
    from benchapp.runtime.settings import Preferences
    from benchapp.screens.panel import Panel, Sizes
    from benchapp.screens.ways import Ways
    from drivers.finding import PortReport

#: How much louder or softer one press makes it, in percent.
LOUDER = 20


def settings_page(panel: Panel, sizes: Sizes, chosen: Preferences, ways: Ways) -> Page:
    """Each press changes one thing and says what it is now."""
    page = Page(panel, sizes, "Settings")
    page.bottom([("Back", ways.home, "plain"), ("Find devices", ways.listen, "main")])

    def to(**changes: Any) -> Callable[[], None]:
        return lambda: ways.choose_setting(**changes)

    labels: list[Labelled] = [
        (f"Guidance: {chosen.guidance}", to(guidance=after(chosen.guidance)), "plain"),
        (f"Text: {'large' if chosen.large_text else 'normal'}", to(large_text=not chosen.large_text), "plain"),
        (f"Hand: {'left' if chosen.left_handed else 'right'}", to(left_handed=not chosen.left_handed), "plain"),
        (f"Numbers: {'12,5' if chosen.comma else '12.5'}", to(comma=not chosen.comma), "plain"),
        (f"Shown in {'°F' if chosen.fahrenheit else '°C'}", to(fahrenheit=not chosen.fahrenheit), "plain"),
        (f"Shown in {'kg and g' if chosen.kilograms else 'g'}", to(kilograms=not chosen.kilograms), "plain"),
        (f"Sound: {'on' if chosen.sound else 'off'}", to(sound=not chosen.sound), "plain"),
        (f"Softer, now {chosen.volume}\u00a0%", to(volume=max(chosen.volume - LOUDER, 0)), "plain"),
        ("Louder", to(volume=min(chosen.volume + LOUDER, 100)), "plain"),
    ]  # fmt: skip
    columns = 2 if panel.portrait else 3
    page.grid(labels, columns, page.left, page.low, page.wide, page.pen_y)
    return page


def after(level: Level) -> Level:
    """The next level of guidance, after the last the first again."""
    return LEVELS[(LEVELS.index(level) + 1) % len(LEVELS)]


class ListeningPage(Page):
    """What is being listened to just now."""

    def __init__(self, panel: Panel, sizes: Sizes) -> None:
        super().__init__(panel, sizes, "Listening on every port")
        self.line(
            "Leave the devices switched on and set to send. This takes a while for each port.", sizes.note
        )
        self._said = ""
        self.line("Beginning.", sizes.note, bold=True)

    def tell(self, text: str) -> None:
        """The step that is being done; from any thread."""
        self._said = text

    def live(self, seen: object) -> None:
        """The newest step, every frame."""
        words = self.words[-1]
        if self._said and words.text != self._said:
            words.text = self._said
            words.place(self.left, words.top, self.wide)


def listening_page(panel: Panel, sizes: Sizes) -> ListeningPage:
    """Progress while the ports are listened to."""
    return ListeningPage(panel, sizes)


def heard_page(panel: Panel, sizes: Sizes, heard: Sequence[PortReport], ways: Ways) -> Page:
    """What hangs on the ports: each that can be understood can be taken onto the bench."""
    page = Page(panel, sizes, "What was heard")
    page.bottom([("Back", ways.settings, "plain"), ("Listen again", ways.listen, "plain")])
    known = [one for one in heard if one.fits]
    if not heard:
        page.line("No serial port is here. Plug the device in and listen again.", sizes.note)
    for one in heard:
        if not one.fits:
            page.line(one.trouble or f"{one.port}: nothing that is understood here.", sizes.small)
    labels: list[Labelled] = [(_label(one), _add(ways, one), "main") for one in known[: page.rows_that_fit()]]
    if labels:
        page.grid(labels, 1, page.left, page.low, page.wide, page.pen_y)
    return page


def _label(one: PortReport) -> str:
    fit = one.fits[0]
    reads = f", reads {fit.reads[0]}" if fit.reads else ""
    return f"Take the {fit.kind} on {one.port}{reads}"


def _add(ways: Ways, one: PortReport) -> Callable[[], None]:
    return lambda: ways.add_device(one)


def added_page(panel: Panel, sizes: Sizes, name: str, where: str, ways: Ways) -> Page:
    """It stands in the bench file now."""
    page = Page(panel, sizes, f"The {name} is on the bench.")
    page.line(
        f"It was written into {where}. Check it against a known value before the next make.", sizes.note
    )
    page.bottom([("Find another", ways.listen, "plain"), ("To the bench", ways.home, "main")])
    return page
