"""What can be made on a bench: the procedures on its shelf, the plan of a batch, and what replaces an ingredient in the next one."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from benchapp.foundation.language import alphabetical, tr
from benchapp.make.law import law_in_short
from benchapp.make.plan import Plan
from benchapp.record.journal import Journal
from benchapp.service.approved_elsewhere import arrived_texts
from benchapp.service.bench_devices import BenchDevices
from benchapp.service.makes import Order
from benchapp.service.market import law_in
from benchapp.service.materials import on_the_shelf
from benchapp.service.own_procedures import keys_on_the_shelf, own_procedures, read_named
from drivers.settings import Bench
from procedures.errors import ProcedureError
from procedures.model import Procedure
from procedures.shelf import find

if TYPE_CHECKING:
    from benchapp.service.recipes import RecipeDesk
    from benchapp.service.signing import Pin
    from benchapp.service.substitution import SubstitutedProcedure


class BenchShelf(BenchDevices):
    """The procedures of a bench whose devices are these. ``folder``: the workshop's own, None where there is none."""

    def __init__(self, journal: Journal, bench: Bench | None, maker: str, folder: Path | None) -> None:
        super().__init__(bench, folder)
        self.maker = maker
        self._journal = journal
        self._read: dict[tuple[object, ...], Procedure] = {}
        self._substituted: dict[str, SubstitutedProcedure] = {}  # for the next batch of that procedure

    def procedure(self, name: str) -> Procedure:
        """A procedure of the workshop's own or a shipped one by its key, or one in a file; read again when the file has
        changed. Raises ProcedureError."""
        return self._procedure(name, self._arrived())

    def _arrived(self) -> Mapping[str, str]:
        return arrived_texts(self._journal, self._folder)

    def _procedure(self, name: str, arrived: Mapping[str, str]) -> Procedure:
        if name in arrived:
            version: tuple[object, ...] = (name, arrived[name])
        else:
            path = find(name, own_procedures(self._folder), arrived)
            version = (path, path.stat().st_mtime_ns)
        if version not in self._read:
            self._read[version] = read_named(name, self._folder, arrived).procedure
        return self._read[version]

    def recipes(self) -> tuple[Procedure, ...]:
        """What is on the shelf, in its order. One that can't be made is left out; the recipe pages say why."""
        arrived, found = self._arrived(), []
        for key in keys_on_the_shelf(self._folder, arrived):
            with contextlib.suppress(ProcedureError):
                found.append(self._procedure(key, arrived))
        return tuple(found)

    def recipe_desk(self, seen: dict[str, str] | None = None) -> RecipeDesk:
        """Recipes that are being written, and the shelf of materials, in the workshop's folder; ``seen``: see RecipeDrafts."""
        from benchapp.service.recipes import RecipeDesk

        return RecipeDesk(self._folder or self._journal.path.parent, self._arrived(), seen)

    def materials(self) -> tuple[tuple[str, str], ...]:
        """Every material the procedures on the shelf name: its key and its name, by name."""
        return tuple(
            sorted(
                on_the_shelf(self._folder, self._arrived()).items(), key=lambda pair: alphabetical(pair[1])
            )
        )

    def substitutes(self) -> tuple[str, ...]:
        """What may take the place of an ingredient: everything on the shelf of materials. Raises CommandError."""
        from benchapp.service.substitution import shelf_names

        return shelf_names(self._folder or self._journal.path.parent)

    def substituted(self, key: str, old: str, new: str) -> SubstitutedProcedure:
        """A procedure with one ingredient replaced; nothing is approved yet. Raises CommandError, ProcedureError."""
        from benchapp.service.substitution import substituted

        folder = self._folder or self._journal.path.parent
        return substituted(self.procedure(key), old, new, folder, law_in(self._journal.path.parent))

    def substitute(self, found: SubstitutedProcedure, reason: str, by: str, pin: Pin) -> str:
        """Approve it for the next batch of that procedure alone; the sentence that says so. Raises CommandError."""
        said = found.approved(self._journal, reason, by, pin)
        self._substituted[found.master.key] = said
        return tr(
            "{words}, approved by {by} for the next batch alone.",
            words=said.substitution.words,
            by=said.substitution.by,
        )

    def as_it_says(self, key: str) -> None:
        """Nothing is replaced in the next batch of that procedure."""
        self._substituted.pop(key, None)

    def substitution(self, key: str) -> SubstitutedProcedure | None:
        """What is replaced in the next batch of that procedure."""
        return self._substituted.get(key)

    def _order(self, key: str, batch_g: float) -> Order:
        """The next batch of a procedure; what was replaced for it counts for no other."""
        found = self._substituted.get(key)
        if found is None:
            return Order(self.procedure(key), batch_g, self.maker)
        return Order(found.made, batch_g, self.maker, substitution=found.substitution)

    def plan(self, key: str, batch_g: float) -> tuple[Plan, tuple[str, ...], tuple[str, ...]]:
        """The plan, every reason why this much cannot be made here, and what the law says and does not."""
        found = self._substituted.get(key)
        procedure = self.procedure(key) if found is None else found.made
        law = law_in(self._journal.path.parent)
        return (
            self.weigh_sheet(procedure, batch_g),
            self.impossible(procedure, batch_g),
            law_in_short(procedure, law),
        )
