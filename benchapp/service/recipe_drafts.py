"""Recipes that are being written, in a workshop's folder: begun, started from another, changed, undone."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.text_files import read_text_file
from benchapp.recipes import draft as d
from benchapp.recipes.draft_store import DraftStore, History
from benchapp.recipes.errors import ChangedMeanwhile, ChangeRefused, RecipeError
from benchapp.runtime.settings import DRAFTS, OWN_PROCEDURES, SHEETS
from benchapp.service.own_procedures import NONE_ARRIVED, keys_on_the_shelf
from benchapp.service.recipe_facts import DraftFacts, draft_facts
from benchapp.service.recipe_materials import MaterialDesk
from procedures.errors import ProcedureError
from procedures.reading import read_procedure
from procedures.shelf import find, kept_in, shipped

#: Said where lines or steps may no longer stand where they are shown.
CHANGED = tr_noop("It was changed elsewhere meanwhile. Look at it again first.")
Change = Callable[[d.Draft], d.Draft]


@dataclass(frozen=True, slots=True)
class RecipeEntry:
    """A recipe in the list: a draft, or an own procedure that is none; ``wrong``: its standing says what is wrong."""

    key: str
    name: str
    standing: str
    is_draft: bool
    wrong: bool = False


class RecipeDrafts:
    """The drafts of a folder, and the shelf of materials they are written from; ``arrived`` are the procedures that other benches
    approved, by their keys. ``seen``: the text of each draft as a face shows it now; what somebody else changed since is not
    changed unseen, since lines and steps are known by their places."""

    def __init__(
        self, folder: Path, arrived: Mapping[str, str] = NONE_ARRIVED, seen: dict[str, str] | None = None
    ) -> None:
        self._seen = {} if seen is None else seen
        self._own, self._arrived = folder / OWN_PROCEDURES, arrived
        self._folder = folder
        self._store = DraftStore(folder / DRAFTS)
        self.materials = MaterialDesk(folder, arrived)

    @property
    def sheets_folder(self) -> Path:
        """Where sheets are put to be brought in, and written to be printed."""
        return self._folder / SHEETS

    def listed(self) -> tuple[RecipeEntry, ...]:
        """Every recipe that is being written, then the own procedures that no draft came from; of one that was spoiled by
        hand, what is wrong with it."""
        found, homes = [], set()
        for key in self._store.on_disk():
            try:
                facts = self.draft(key)
            except RecipeError as error:
                found.append(RecipeEntry(key, key, str(error).splitlines()[0], True, True))
            else:
                homes.add(facts.home)
                found.append(
                    RecipeEntry(key, facts.name, facts.standing, True, bool(facts.lines and facts.to_mend))
                )
        for key in kept_in(self._own):
            if key in homes:
                continue
            try:
                name = read_procedure(find(key, self._own)).procedure.name
                found.append(RecipeEntry(key, name, tr("ready to make"), False))
            except ProcedureError as error:
                found.append(RecipeEntry(key, key, str(error).splitlines()[0], False, True))
        return tuple(found)

    def draft(self, key: str) -> DraftFacts:
        """One draft. Raises NoSuchRecipe, ChangeRefused."""
        return self._shown(key, self._store.open(key))

    def unchanged(self, key: str, place: tuple[str, ...], number: int) -> DraftFacts:
        """The same, where it is still what is shown of it and has that table. Raises ChangedMeanwhile."""
        self._table(key, place, number)
        return self.draft(key)

    def _table(self, key: str, place: tuple[str, ...], number: int) -> dict[str, Any]:
        found = self._as_seen(key).list_of(place)
        if not 0 <= number < len(found):
            raise ChangedMeanwhile(tr(CHANGED))
        return found[number]

    def _as_seen(self, key: str) -> d.Draft:
        draft = self._store.open(key).draft
        seen, self._seen[key] = self._seen.get(key, draft.text), draft.text  # it is looked at again next
        if seen != draft.text:
            raise ChangedMeanwhile(tr(CHANGED))
        return draft

    def _shown(self, key: str, history: History) -> DraftFacts:
        self._seen[key] = history.draft.text
        facts = draft_facts(key, history)
        return replace(facts, warnings=(*facts.warnings, *self.materials.otherwise(history.draft.tables)))

    def text(self, key: str) -> str:
        """A draft's own text."""
        return self._store.open(key).draft.text

    def procedures(self) -> tuple[str, ...]:
        """The names of what a recipe can be started from: the maker's own, those that arrived, then the shipped ones."""
        return keys_on_the_shelf(self._folder, self._arrived)

    def is_own(self, procedure: str) -> bool:
        """Whether a procedure is one of the maker's own, which can be changed."""
        return procedure in kept_in(self._own)

    def begin(self, name: str, use: str, sizes: d.BatchSizes) -> DraftFacts:
        """A new recipe."""
        return self.take_in(d.new_draft(name, use, sizes), "begun")

    def start_from(self, procedure: str, name: str = "") -> DraftFacts:
        """A draft of a procedure: with another ``name`` a recipe of its own, else a change of the maker's own one, or of one that
        arrived. Raises ProcedureError, ChangeRefused (a shipped one without another name)."""
        base, home = "", procedure if procedure in self._arrived and procedure not in shipped() else ""
        if procedure not in self._arrived or procedure in kept_in(self._own):
            path = find(procedure, self._own, self._arrived)
            base = read_text_file(path)
            home = path.stem if path.parent == self._own else ""
        draft = d.Draft(self._arrived.get(procedure, base))
        if not name and not home:
            raise ChangeRefused(
                tr(
                    "{procedure} comes with the program and stays as it is. Give yours another name.",
                    procedure=procedure,
                )
            )
        if name:
            draft, base, home = d.with_fields(draft, ("formula",), {"name": name}), "", ""
        return self.take_in(draft, tr("started from {procedure}", procedure=procedure), base, home)

    def start_from_text(self, text: str, name: str) -> DraftFacts:
        """A draft of the procedure a past batch was made by."""
        draft = d.with_fields(d.Draft(text), ("formula",), {"name": name})
        return self.take_in(draft, tr("started from a past batch"))

    def take_in(self, draft: d.Draft, what: str, base: str = "", home: str = "") -> DraftFacts:
        """A draft begun from something else, such as a sheet; ``base`` and ``home``: see DraftStore.begin."""
        return self.draft(self._store.begin(draft, what, base, home))

    def drop(self, key: str) -> str:
        """A draft put away."""
        self._store.drop(key)
        return tr(
            "The draft {key} is put away; its files stay in the folder, with .dropped behind their names.",
            key=key,
        )

    def undo(self, key: str) -> DraftFacts:
        """The last change taken back."""
        self._as_seen(key)
        return self._shown(key, self._store.undo(key))

    def redo(self, key: str) -> DraftFacts:
        """What was taken back, again."""
        self._as_seen(key)
        return self._shown(key, self._store.redo(key))

    def _change(self, key: str, what: str, change: Change) -> DraftFacts:
        return self._shown(key, self._store.keep(key, what, change(self._as_seen(key))))
