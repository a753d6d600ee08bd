"""Finding the bench's devices by listening on every port."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from benchapp.foundation.language import tr, tr_noop
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.errors import CommandError

if TYPE_CHECKING:
    from drivers.hearing import PortReport


#: What is said while every port is listened to: a title, and what to do meanwhile.
EVERY_PORT = (
    tr_noop("Listening on every port"),
    tr_noop("Leave the devices switched on and set to send. This takes a while for each port."),
)
#: The same at one port.
ONE_PORT = (tr_noop("One moment."), tr_noop("Leave it switched on and set to send."))


class ListeningPage(Page):
    """What is being listened to just now. Every press of ``buttons`` ends it first."""

    def __init__(
        self, sizes: Sizes, buttons: Sequence[ButtonSpec], words: tuple[str, str] = EVERY_PORT
    ) -> None:
        title, meanwhile = words
        super().__init__(sizes, title)
        self._ended = False
        self.bottom([(label, partial(self._end, act), kind) for label, act, kind in buttons])
        self._said = ""
        self.listed_large([TextLine(meanwhile), TextLine("Beginning.", bold=True)], after=2.0 * sizes.line)

    def tell(self, text: str) -> None:
        """The step that is being done; from any thread. Raises CommandError where it was ended."""
        if self._ended:
            raise CommandError(tr("You ended it. Listen again."))
        self._said = text

    def _end(self, act: Callable[[], None]) -> None:
        self._ended = True
        act()

    def live(self, seen: object) -> None:
        """The newest step, every frame."""
        words = self.texts[-1]
        if self._said and words.text != self._said:
            words.text = self._said
            words.place(self.left, words.top, self.wide)


class HeardActions(NamedTuple):
    """What can be done about what was heard, beside taking it."""

    listen: Callable[[], None]
    guide: Callable[[], None]


def heard_page(
    sizes: Sizes,
    heard: Sequence[PortReport],
    add: Callable[[PortReport], None],
    actions: HeardActions,
    paging: Paging,
) -> RowsPage:
    """What hangs on the ports: each that can be understood can be taken onto the bench; the others step by step."""
    more: list[ButtonSpec] = [
        (tr("Listen again"), actions.listen, "plain"), (tr("Step by step"), actions.guide, "plain"),
    ]  # fmt: skip
    rows = [RowSpec(_label(one), partial(add, one)) for port in heard for one in port.by_kind()]
    rows += [RowSpec(one.port, actions.guide, _unknown(one)) for one in heard if not one.fits]
    none = tr("No device is here. Plug it in and listen again, or be led step by step.")
    return RowsPage(sizes, tr("What was heard"), rows, paging, more, [] if rows else [(none, False)])


def _unknown(one: PortReport) -> str:
    return one.trouble or tr("Nothing that is understood here.")


def _label(one: PortReport) -> str:
    fit = one.fits[0]
    reads = tr(", reads {reads}", reads=fit.reads[0]) if fit.reads else ""
    return tr("Take the {kind} on {port}{reads}", kind=fit.kind, port=one.port, reads=reads)


def added_page(sizes: Sizes, name: str, where: str, listen: Callable[[], None], routes: Routes) -> Page:
    """It stands in the bench file now."""
    page = Page(sizes, tr("The {name} is on the bench.", name=name))
    page.bottom([(tr("Find another"), listen, "plain"), (tr("To the bench"), routes.home, "main")])
    written = tr(
        "It was written into {where}. Check it against a known value before the next make.", where=where
    )
    page.listed_large([TextLine(written)])
    return page
