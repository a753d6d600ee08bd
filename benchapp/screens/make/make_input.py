"""What a person does to the make that runs, handed to its own thread with the prompt it was meant for."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from benchapp.make.inputs import (
    Abandon,
    Hold,
    Pedal,
    PedalDown,
    Press,
    Resume,
    Scanned,
    Sign,
    Skip,
    TakeBack,
    TypeValue,
)  # fmt: skip
from benchapp.make.vocabulary import ChoiceKey
from benchapp.screens.display.dates import batches_in_words
from benchapp.screens.navigator import Navigator

if TYPE_CHECKING:
    from benchapp.runtime.session import Session
    from benchapp.screens.make.loop import Loop


class MakeInput:
    """The one place where the glass speaks to a session; nothing is done while no make runs (see MakeActions)."""

    def __init__(self, navigator: Navigator, loop: Callable[[], Loop | None]) -> None:
        self._nav, self._loop = navigator, loop

    def _do(self, act: Callable[[Session], None]) -> None:
        loop = self._loop()
        if loop is not None:
            loop.do(act)

    def press(self, prompt: str, choice: str, reason: str = "") -> None:
        """A choice."""
        if choice == ChoiceKey.RESUME:
            self._do(lambda s: s.put(Resume(s.clock())))
        else:
            self._do(lambda s: s.put(Press(s.clock(), prompt, choice, reason)))

    def type_value(self, prompt: str, value: float) -> None:
        """A typed value."""
        self._do(lambda s: s.put(TypeValue(s.clock(), prompt, value)))

    def take_back(self, prompt: str) -> None:
        """Unsay the last act."""
        self._do(lambda s: s.put(TakeBack(s.clock(), prompt)))

    def skip(self, prompt: str, reason: str) -> None:
        """Leave out the step of that prompt."""
        self._do(lambda s: s.put(Skip(s.clock(), prompt, reason)))

    def abandon(self, reason: str) -> None:
        """Give the batch up."""
        self._do(lambda s: s.put(Abandon(s.clock(), reason)))

    def hold(self) -> None:
        """The maker goes away."""
        self._do(lambda s: s.put(Hold(s.clock(), "")))

    def scan(self, prompt: str, code: str) -> None:
        """A scanned code."""
        self._do(lambda s: s.put(Scanned(s.clock(), prompt, code)))

    def pedal_down(self, prompt: str) -> None:
        """The pedal went down."""
        self._do(lambda s: s.put(PedalDown(s.clock(), prompt)))

    def pedal(self, prompt: str, held: bool) -> None:
        """The pedal was pressed, or held."""
        self._do(lambda s: s.put(Pedal(s.clock(), prompt, held)))

    def leave(self) -> None:
        """Back to the bench."""
        self._nav.routes.home()

    def signature(self, prompt: str, meaning: str, signer: str) -> None:
        """A signature the make asks for: who (only ``signer``, where that is somebody), their PIN, and then it is put to
        its prompt."""
        nav = self._nav

        def signed(who: str, pin: str) -> None:
            nav.fetch(lambda shop: shop.desk().prove(who, pin), partial(proved, who))

        def proved(who: str, found: tuple[str, str]) -> None:
            role, why_not = found
            if why_not:
                nav.message(why_not, nav.routes.make)
                return
            self._do(lambda s: s.put(Sign(s.clock(), prompt, who, role, "pin")))
            nav.routes.make()

        def ask(people: tuple[str, ...]) -> None:
            loop = self._loop()
            batch = loop.view.batch if loop is not None and loop.view is not None else ""
            nav.ask_signature(people, meaning, signed, nav.routes.make, batches_in_words(batch))

        if signer:
            ask((signer,))
        else:
            nav.fetch(lambda shop: shop.desk().people(), ask)
