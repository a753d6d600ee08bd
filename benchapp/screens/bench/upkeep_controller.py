"""Whether everything is in order, and the place for copies of the journal: a stick that is plugged in, chosen by touch."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import capitalised, tr, tr_noop, translated
from benchapp.screens.display.dates import batches_in_words, in_words
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.matter_row import settling
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import Paging, text_page
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.service.open_matters import SettledAt
from benchapp.service.safekeeping import NO_PLACE
from benchapp.service.upkeep import COPIES, PRIVACY, VERSIONS

if TYPE_CHECKING:
    from benchapp.runtime.removable_disks import Disk
    from benchapp.service.safekeeping import CopyPlaces
    from benchapp.service.upkeep import UpkeepFinding

CLOSE_RECORDS = tr_noop("Keep others out of the records")
NONE_PLUGGED_IN = tr_noop("No stick is plugged in. Plug one in, wait a moment, then look again.")


class UpkeepController:
    """What is in order and what is not; where copies go."""

    def __init__(self, navigator: Navigator, back: Callable[[], None]) -> None:
        self._nav, self._back = navigator, back

    def findings(self, number: int = 0) -> None:
        """Every matter; those that want something done first."""
        nav, paging = self._nav, Paging(self._back, self.findings, number)

        def page(found: tuple[UpkeepFinding, ...]) -> RowsPage:
            return findings_page(nav.sizes, found, paging, self._finding, self._presses(found))

        nav.open(
            lambda shop: shop.upkeep().findings(), page, tr("Looking at devices, disk, clock and copies.")
        )

    def _presses(self, found: Sequence[UpkeepFinding]) -> list[ButtonSpec]:
        """The remedy of the first that wants something done, where one press begins it."""
        first = next((one.matter for one in found if not one.fine), "")
        if first == COPIES:
            return [(tr("Set up copies"), self.copies, "main")]
        return [(tr(CLOSE_RECORDS), self.close_records, "main")] if first == PRIVACY else []

    def close_records(self) -> None:
        """From others on this machine."""
        self._nav.write(lambda shop: shop.upkeep().close_records(), self.findings)

    def _finding(self, one: UpkeepFinding) -> None:
        """To where it is settled; else one matter, with what only helps whoever looks after the machine."""
        if one.settled_at is not SettledAt.UPKEEP:
            settling(one.settled_at, self._nav.routes, one.batch)()
            return
        if one.matter == COPIES:
            self.copies()
            return
        lines = [in_words(text) for text in (one.text, one.detail) if text]
        more = self._presses([one])
        self._nav.show(text_page(self._nav.sizes, one.matter, lines, Paging(self.findings), more))

    def copies(self, number: int = 0) -> None:
        """The place now, and the sticks that could be one."""
        nav, paging = self._nav, Paging(self.findings, self.copies, number)
        nav.open(
            lambda shop: shop.upkeep().copy_places(),
            lambda places: copies_page(nav.sizes, places, paging, self._choose, self._more(places)),
        )

    def _more(self, places: CopyPlaces) -> list[ButtonSpec]:
        again: ButtonSpec = (tr("Look again"), self.copies, "plain")
        return [again, (tr("No more copies"), self._end, "plain")] if places.now else [again]

    def _choose(self, disk: Disk) -> None:
        self._nav.write(lambda shop: shop.upkeep().begin_copies(disk), self.copies)

    def _end(self) -> None:
        self._nav.write(lambda shop: shop.upkeep().end_copies(), self.copies)


def findings_page(
    sizes: Sizes,
    found: Sequence[UpkeepFinding],
    paging: Paging,
    pick: Callable[[UpkeepFinding], None],
    more: Sequence[ButtonSpec] = (),
) -> RowsPage:
    """A row for each matter: whether something has to be done, and the sentence about it."""
    wanting = sum(not one.fine for one in found)
    rows = [
        RowSpec(
            batches_in_words(one.matter) if one.batch else capitalised(translated(one.matter)),
            partial(pick, one),
            batches_in_words(one.text),
            tr("not used yet") if one.unused else translated("good") if one.fine else tr("to do"),
            not one.fine,
            "later" if one.unused else "good" if one.fine else "open",
        )
        for one in sorted(found, key=lambda one: one.fine)
        if one.matter != VERSIONS
    ]
    title = (
        tr("Upkeep: {wanting} of {count} to do", wanting=wanting, count=len(rows))
        if wanting
        else tr("Upkeep: all is in order")
    )
    return RowsPage(sizes, title, rows, paging, more)


def copies_page(
    sizes: Sizes,
    places: CopyPlaces,
    paging: Paging,
    choose: Callable[[Disk], None],
    more: Sequence[ButtonSpec] = (),
) -> RowsPage:
    """What is copied where, and a row for each stick."""
    said = [(tr("Copies go to {now}.", now=places.now) if places.now else tr(NO_PLACE), not places.now)]
    if places.wrong:
        said.append((places.wrong, True))
    if not places.disks:
        said.append((NONE_PLUGGED_IN, False))
    rows = [
        RowSpec(disk.name, partial(choose, disk), str(disk.folder), tr("{free_gb:.1f} GB free", free_gb=disk.free_gb))
        for disk in places.disks
    ]  # fmt: skip
    return RowsPage(sizes, tr("Copies of all records"), rows, paging, more, said)
