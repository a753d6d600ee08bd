"""The way between pages: which one is on the glass, where it can lead, and what is read before it is shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from kivy.uix.widget import Widget

from benchapp.runtime.languages import speak_as_chosen
from benchapp.screens.background import BackgroundWorker
from benchapp.screens.display import design as d
from benchapp.screens.display.figures import Figures
from benchapp.screens.display.sizes import Panel, Sizes
from benchapp.screens.widgets.alarm_band import AlarmBand
from benchapp.screens.widgets.keypad import Keypad
from benchapp.screens.widgets.list_pages import choice_page
from benchapp.screens.widgets.page_base import message_page, wait_page
from benchapp.screens.widgets.pager import Paging, text_page
from benchapp.screens.widgets.signature_pad import SignaturePad, SignatureText
from benchapp.screens.widgets.text_pad import NAME_SIGNS, TextPad

if TYPE_CHECKING:
    from benchapp.make.view_model import NumberRequest
    from benchapp.runtime.settings import Preferences
    from benchapp.service.bench_service import BenchService
    from benchapp.service.training_facts import Practice
    from procedures.model import Procedure

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Routes:
    """Where a page can lead to in another subject; the app fills it in once every controller stands."""

    home: Callable[[], None]
    checks: Callable[[], None]
    settings: Callable[[], None]
    upkeep: Callable[[], None]  # everything that wants something done
    recipes: Callable[[], None]
    own_recipes: Callable[[], None]  # those that are being written
    size: Callable[[Procedure, float], None]
    batches: Callable[[], None]
    practised: Callable[[], None]  # what was only practised
    batch: Callable[[str], None]
    benches: Callable[[], None]  # of the whole workshop
    release: Callable[[str], None]
    undecided: Callable[[], None]
    lots: Callable[[], None]
    practices: Callable[[], None]
    competence: Callable[[], None]
    debrief: Callable[[str], None]
    ended_practice: Callable[[str], None]  # the debrief of what has ended just now
    make: Callable[[], None]
    begin: Callable[[str, float], None]
    resume: Callable[[str], None]
    rehearse: Callable[[str, float], None]
    practise: Callable[[Practice, str], None]
    stop_watching: Callable[[], None]


class Navigator:
    """Shows one page at a time. ``open_shop`` is called once, in the background, when the first page wants it."""

    routes: Routes

    def __init__(
        self,
        panel: Panel,
        preferences: Preferences,
        open_shop: Callable[[], BenchService],
        data: Path | None = None,
    ) -> None:
        """``data``: the folder in which a workshop's own languages are."""
        self.panel = panel
        self.data = data
        self.root = Widget(size_hint=(None, None), size=(panel.width, panel.height))
        self.page: Widget | None = None
        self.background = BackgroundWorker()
        self.shop: BenchService | None = None  # once it is open
        self._open_shop = open_shop
        self.apply(preferences)

    def apply(self, preferences: Preferences) -> None:
        """Draw what comes as was chosen."""
        self.preferences = preferences
        speak_as_chosen(preferences, self.data)
        d.dress(d.DIM if preferences.dim else d.LIGHT)
        figures = Figures(preferences.comma, preferences.fahrenheit, preferences.kilograms)
        self.sizes = Sizes.of(self.panel, preferences.large_text, figures)

    def show(self, page: Widget) -> None:
        """This page, and no other."""
        self.root.clear_widgets()
        self.page = page
        self.root.add_widget(page)
        self.alarm = AlarmBand(self.sizes)
        self.root.add_widget(self.alarm)

    def fetch(self, work: Callable[[BenchService], T], then: Callable[[T], None], what: str = "") -> None:
        """Let the workshop do it in the background. With ``what``, the glass says so meanwhile."""
        if what:
            self.show(wait_page(self.sizes, what))
        self.background.run(lambda: work(self._workshop()), then)

    def open(self, work: Callable[[BenchService], T], page: Callable[[T], Widget], what: str = "") -> None:
        """Fetch what a page is made of, then show the page."""
        self.fetch(work, lambda found: self.show(page(found)), what)

    def write(self, work: Callable[[BenchService], str], back: Callable[[], None]) -> None:
        """Let the workshop write something down, then say how it went."""
        self.fetch(work, lambda sentence: self.message(sentence, back))

    def _workshop(self) -> BenchService:
        if self.shop is None:
            self.shop = self._open_shop()
        return self.shop

    # --- what any subject may ask --------------------------------------------------------------------

    def message(self, sentence: str, back: Callable[[], None]) -> None:
        """How it went, in one sentence."""
        self.show(message_page(self.sizes, sentence, back))

    def tell(self, title: str, lines: Sequence[str], back: Callable[[], None]) -> None:
        """Sentences to read, a page at a time."""
        self.show(text_page(self.sizes, title, lines, Paging(back)))

    def ask_choice(
        self, title: str, choices: Sequence[str], done: Callable[[str], None], paging: Paging, note: str = ""
    ) -> None:
        """One of these, in words, under a ``note`` of what they are about."""
        self.show(choice_page(self.sizes, title, choices, done, paging, note))

    def ask_number(self, ask: NumberRequest, done: Callable[[float], None], back: Callable[[], None]) -> None:
        """A number, on the keypad."""
        self.show(Keypad(self.sizes, ask, done, back))

    def ask_text(
        self,
        what: str,
        done: Callable[[str], None],
        back: Callable[[], None],
        before: str | None = None,
        longest: int = NAME_SIGNS,
    ) -> None:
        """A name or a sentence of so many signs, on the letters. ``before``: what stands there now, which may be rubbed out; None: a
        new one, which has to be something."""
        self.show(TextPad(self.sizes, what, done, back, before, longest))

    def ask_signature(
        self,
        people: tuple[str, ...],
        meaning: str,
        done: Callable[[str, str], None],
        back: Callable[[], None],
        of: str = "",
    ) -> None:
        """A signature, by name and PIN; ``of``: what is signed for."""

        def pad(roles: Mapping[str, str]) -> SignaturePad:
            return SignaturePad(self.sizes, people, SignatureText(meaning, of, roles), done, back)

        if len(people) > 1:
            self.open(lambda shop: shop.desk().roles(), pad)
        else:
            self.show(pad({}))
