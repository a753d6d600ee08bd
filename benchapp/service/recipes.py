"""A maker's own recipes under every face: drafts written, changed, undone, given a method, saved as procedures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from benchapp.foundation.text_files import NoTextFile, read_text_file, replace_text_file
from benchapp.recipes import draft as d
from benchapp.recipes.draft_store import DraftStore, History
from benchapp.recipes.errors import ChangeRefused, NoSuchRecipe, RecipeError
from benchapp.recipes.material_shelf import for_recipe, hazards_of
from benchapp.recipes.meeting import put_together
from benchapp.recipes.proposing import answered, questions_of, with_proposed_method
from benchapp.recipes.questions import Question, ph_limits
from benchapp.recipes.step_fields import StepField, choices_for, field_value, field_words, fields_of, new_step
from benchapp.recipes.swapping import renamed, swapped, to_look_at
from benchapp.recipes.usual_phases import usual_phase
from benchapp.runtime.settings import DRAFTS, OWN_PROCEDURES, SHEETS
from benchapp.service.market import law_in
from benchapp.service.recipe_facts import DraftFacts, draft_facts
from benchapp.service.recipe_materials import MaterialDesk
from procedures.building import slug
from procedures.errors import ProcedureInvalid
from procedures.reading import read_text
from procedures.shelf import find, kept_in, shipped

Change = Callable[[d.Draft], d.Draft]


@dataclass(frozen=True, slots=True)
class FieldFacts:
    """A field of a step: how it is asked for, what it says, and what can be picked."""

    field: StepField
    value: str
    choices: tuple[str, ...]


class RecipeDesk:
    """The recipes in a workshop's folder."""

    def __init__(self, folder: Path) -> None:
        self._own = folder / OWN_PROCEDURES
        self._folder = folder
        self._store = DraftStore(folder / DRAFTS)
        self.materials = MaterialDesk(folder)

    @property
    def sheets_folder(self) -> Path:
        """Where sheets are put to be brought in, and written to be printed."""
        return self._folder / SHEETS

    # --- drafts ------------------------------------------------------------------------------------------

    def drafts(self) -> tuple[DraftFacts, ...]:
        """Every draft that can be read, by its key; one spoiled by hand is left out here and says so when it is opened."""
        found = []
        for key in self._store.on_disk():
            try:
                found.append(self.draft(key))
            except RecipeError:
                continue
        return tuple(found)

    def draft(self, key: str) -> DraftFacts:
        """One draft. Raises NoSuchRecipe, ChangeRefused."""
        return draft_facts(key, self._store.open(key))

    def text(self, key: str) -> str:
        """A draft's own text."""
        return self._store.open(key).draft.text

    def procedures(self) -> tuple[str, ...]:
        """The names of what a recipe can be started from: the maker's own, then the shipped ones."""
        own = kept_in(self._own)
        return (*own, *(key for key in shipped() if key not in own))

    def is_own(self, procedure: str) -> bool:
        """Whether a procedure is one of the maker's own, which can be changed."""
        return procedure in kept_in(self._own)

    def begin(self, name: str, use: str, sizes: d.BatchSizes) -> DraftFacts:
        """A new recipe."""
        return self._begun(d.new_draft(name, use, sizes), "begun")

    def take_in(self, draft: d.Draft, what: str) -> DraftFacts:
        """A draft that came from elsewhere, such as a sheet."""
        return self._begun(draft, what)

    def start_from(self, procedure: str, name: str = "") -> DraftFacts:
        """A draft of a procedure: with another ``name`` a recipe of its own, else a change of the maker's own one. Raises
        ProcedureError, ChangeRefused (a shipped one without another name)."""
        path = find(procedure, self._own)
        text, home = read_text_file(path), ""
        draft = d.Draft(text)
        if path.parent == self._own and not name:
            home = path.stem
        elif not name:
            raise ChangeRefused(
                f"{procedure} comes with the program and stays as it is. Give yours another name."
            )
        else:
            draft = d.with_fields(draft, ("formula",), {"name": name})
        return self._begun(draft, f"started from {procedure}", text if home else "", home)

    def start_from_text(self, text: str, name: str) -> DraftFacts:
        """A draft of the procedure a past batch was made by."""
        draft = d.with_fields(d.Draft(text), ("formula",), {"name": name})
        return self._begun(draft, "started from a past batch")

    def _begun(self, draft: d.Draft, what: str, base: str = "", home: str = "") -> DraftFacts:
        return self.draft(self._store.begin(draft, what, base, home))

    def drop(self, key: str) -> str:
        """A draft put away."""
        self._store.drop(key)
        return f"The draft {key} is put away; its files stay in the folder, with .dropped behind their names."

    def undo(self, key: str) -> DraftFacts:
        """The last change taken back."""
        return draft_facts(key, self._store.undo(key))

    def redo(self, key: str) -> DraftFacts:
        """What was taken back, again."""
        return draft_facts(key, self._store.redo(key))

    def _change(self, key: str, what: str, change: Change) -> DraftFacts:
        return draft_facts(key, self._store.keep(key, what, change(self._store.open(key).draft)))

    # --- the formula -------------------------------------------------------------------------------------

    def set_head(self, key: str, **fields: Any) -> DraftFacts:
        """name, use, area, description, ph (two values)."""
        return self._change(
            key, f"{', '.join(fields)} changed", partial(_fields, place=("formula",), fields=fields)
        )

    def set_ph(self, key: str, limits: str) -> DraftFacts:
        """Between which pH values the product has to be, "5.0 to 5.8"; "" where it has none. Raises ChangeRefused."""
        return self.set_head(key, ph=list(ph_limits(limits)) if limits else None)

    def set_batch(self, key: str, **fields: str) -> DraftFacts:
        """usual, smallest, largest, loss, as texts with their units."""
        return self._change(key, "batch sizes changed", partial(_fields, place=("batch",), fields=fields))

    def add_line(self, key: str, material: str, share: str, phase: str = "") -> DraftFacts:
        """A material of the shelf into the formula: ``share`` "7.5", "rest", "as needed, 0.5 %" or "1 % active"; its usual
        phase where none is named. Raises NoSuchRecipe, ChangeRefused."""
        fields = for_recipe(self.materials.shelf.entry(material))
        placing = {"phase": phase or usual_phase(fields.get("role")), **share_fields(share)}
        change = partial(d.with_line, material=fields, placing=placing)
        return self._change(key, f"{fields['name']} added", change)

    def add_unknown(self, key: str, name: str, share: str, phase: str) -> DraftFacts:
        """A line of which only its name is known yet; what it is has to be said before it can be made."""
        change = partial(
            d.with_line, material={"name": name}, placing={"phase": phase, **share_fields(share)}
        )
        return self._change(key, f"{name} added", change)

    def set_line(self, key: str, number: int, fields: dict[str, Any]) -> DraftFacts:
        """Fields of one line as the file has them; a new name goes into the steps, too."""

        def change(draft: d.Draft) -> d.Draft:
            old = draft.list_of(d.LINE)[number].get("name")
            draft = d.with_fields(draft, (*d.LINE, number), fields)
            return renamed(draft, old, fields["name"]) if old and fields.get("name", old) != old else draft

        return self._change(key, f"{self._line(key, number)}: {', '.join(fields)} changed", change)

    def set_share(self, key: str, number: int, share: str) -> DraftFacts:
        """How much of one line. Raises ChangeRefused."""
        return self.set_line(key, number, {"cap": None, **share_fields(share)})

    def remove_line(self, key: str, number: int) -> DraftFacts:
        """One line less."""
        return self._change(
            key, f"{self._line(key, number)} removed", partial(d.without, place=(*d.LINE, number))
        )

    def move_line(self, key: str, number: int, by: int) -> DraftFacts:
        """One line further up or down."""
        what = f"{self._line(key, number)} moved"
        return self._change(key, what, partial(d.moved, place=(*d.LINE, number), to=number + by))

    def swap_line(self, key: str, number: int, material: str) -> tuple[DraftFacts, tuple[str, ...]]:
        """Another material in the place of one, and what has to be looked at. Raises NoSuchRecipe, ChangeRefused."""
        old = d.own_fields(self._store.open(key).draft.list_of(d.LINE)[number])
        new = self.materials.shelf.entry(material)
        what = f"{new['name']} instead of {old.get('name')}"
        facts = self._change(key, what, partial(swapped, number=number, material=new))
        return facts, (*to_look_at(old, for_recipe(new)), *self.ceilings(key))

    def ceilings(self, key: str) -> tuple[str, ...]:
        """What the law's tables say of it, and of how many substances they say nothing; nothing where it cannot be read
        yet. Raises CommandError where the workshop's own law cannot be."""
        from benchapp.make.law import law_in_short

        try:
            procedure = read_text(self.text(key), as_made=True).procedure
        except ProcedureInvalid:
            return ()
        return law_in_short(procedure, law_in(self._folder))

    def refresh(self, key: str) -> DraftFacts:
        """Every material of the draft as the shelf has it now."""

        def change(draft: d.Draft) -> d.Draft:
            entries = self.materials.shelf.entries
            for old in d.materials_of(draft.tables):
                new, place = (
                    entries.get(slug(str(old.get("name", "")))),
                    d.place_of_material(draft, str(old.get("name"))),
                )
                if new is not None and place is not None:
                    draft = d.with_fields(draft, place, dict.fromkeys(old) | for_recipe(new))
            return draft

        return self._change(key, "materials as on the shelf", change)

    def onto_shelf(self, key: str, name: str) -> tuple[str, bool]:
        """The name of a line's material, and whether the shelf has it now: what the draft knows of it is put there, as
        far as it is enough. Raises NoSuchRecipe."""
        found = d.materials_of(self._store.open(key).draft.tables)
        fields = next(
            (m for m in found if name in (m.get("name"),) or name.startswith(f"{m.get('name')} (")), None
        )
        if fields is None:
            raise NoSuchRecipe(f"{name} is in the recipe no more.")
        return str(fields["name"]), self.materials.take_in(fields)

    def unknown_hazards(self, key: str) -> tuple[str, ...]:
        """The materials of which no data sheet was entered."""
        from benchapp.recipes.findings import read_draft

        found = read_draft(self._store.open(key).draft).sheet.procedure.materials.values()
        return tuple(m.name for m in found if not hazards_of(m))

    def _line(self, key: str, number: int) -> str:
        lines = self.draft(key).lines
        if not 0 <= number < len(lines):
            raise NoSuchRecipe(f"There is no line {number + 1}; the formula has {len(lines)}.")
        return lines[number].row.name

    # --- the method --------------------------------------------------------------------------------------

    def questions(self, key: str) -> tuple[Question, ...]:
        """What is asked before a method is proposed. Raises ChangeRefused where the formula isn't complete."""
        return questions_of(self._store.open(key).draft)

    def answer(self, key: str, question: Question, answer: str) -> DraftFacts:
        """An answer; a material's melting point and the like stand in its own field then. Raises ChangeRefused."""
        return self._change(key, f"answered: {answer}", partial(answered, question=question, answer=answer))

    def propose(self, key: str) -> DraftFacts:
        """Vessels, steps and release checks from the formula. Raises ChangeRefused."""
        return self._change(key, "method proposed", with_proposed_method)

    def step_fields(self, key: str, number: int) -> tuple[FieldFacts, ...]:
        """All that can be said of one step."""
        draft = self._store.open(key).draft
        step = draft.list_of(d.STEP)[number]
        return tuple(
            FieldFacts(f, field_words(step[f.name]) if f.name in step else "", choices_for(f, draft))
            for f in fields_of(str(step.get("kind", "")))
        )

    def set_step(self, key: str, number: int, name: str, answer: str | list[str]) -> DraftFacts:
        """One field of one step; "" takes it out where it isn't needed. Raises ChangeRefused."""
        step = self._store.open(key).draft.list_of(d.STEP)[number]
        field = next((f for f in fields_of(str(step.get("kind", ""))) if f.name == name), None)
        if field is None:
            names = ", ".join(f.name for f in fields_of(str(step.get("kind", ""))))
            raise ChangeRefused(
                f"A step of the kind {step.get('kind')} has no field {name}. It has: {names}."
            )
        fields = {name: field_value(field, answer)}
        return self._change(
            key,
            f"{step.get('title', name)}: {name} changed",
            partial(_fields, place=(*d.STEP, number), fields=fields),
        )

    def add_step(self, key: str, kind: str, at: int) -> DraftFacts:
        """A new step of a kind, before the one that stands at ``at``. Raises ChangeRefused."""
        fields = new_step(kind, self._store.open(key).draft)
        return self._change(
            key, f"{kind} step added", partial(d.with_one_more, place=d.STEP, fields=fields, at=at)
        )

    def remove_step(self, key: str, number: int) -> DraftFacts:
        """One step less."""
        return self._change(key, "step removed", partial(d.without, place=(*d.STEP, number)))

    def move_step(self, key: str, number: int, by: int) -> DraftFacts:
        """One step earlier or later."""
        return self._change(key, "step moved", partial(d.moved, place=(*d.STEP, number), to=number + by))

    def set_vessel(self, key: str, number: int, fields: dict[str, Any]) -> DraftFacts:
        """Fields of one vessel."""
        return self._change(key, "vessel changed", partial(_fields, place=(*d.VESSEL, number), fields=fields))

    # --- the procedure -----------------------------------------------------------------------------------

    def save(self, key: str, name: str = "") -> tuple[str, str]:
        """Make the draft a procedure; its key, and how it went. What was changed in the file by hand meanwhile is kept.
        Raises ChangeRefused (it cannot be made yet, or a name that is taken), ChangedMeanwhile."""
        history = self._store.open(key)
        draft = d.with_fields(history.draft, ("formula",), {"name": name}) if name else history.draft
        home = history.home if not name else ""
        stem = home or slug(draft.name)[:60]
        path = self._own / f"{stem}.toml"
        if stem in shipped() or (path.exists() and stem != home):
            raise ChangeRefused(f"There is a procedure {stem} already. Save it under another name.")
        text = _with_hand_edits(path, history, draft.text) if home else draft.text
        _makeable(text, stem)
        replace_text_file(path, text)
        self._store.rebase(key, d.Draft(text, draft.answers), stem)
        merged = " What was changed in the file by hand is kept in it." if text != draft.text else ""
        return stem, f"{draft.name} is saved as {path}, and can be made.{merged}"


def _fields(draft: d.Draft, place: tuple[str | int, ...], fields: dict[str, Any]) -> d.Draft:
    return d.with_fields(draft, place, fields)


def _with_hand_edits(path: Path, history: History, text: str) -> str:
    """The text with what was changed in the file since the draft came from it."""
    try:
        now = read_text_file(path)
    except FileNotFoundError:
        return text
    except NoTextFile as error:
        raise ChangeRefused(f"{path} cannot be read: {error}. Put it away, and save again.") from error
    return text if now == history.base else put_together(history.base, text, now)


def _makeable(text: str, stem: str) -> None:
    try:
        read_text(text, f"{stem}.toml")
    except ProcedureInvalid as error:
        wrong = [p for p in error.problems if p.grade == "error"]
        more = f" And {len(wrong) - 1} more." if len(wrong) > 1 else ""
        raise ChangeRefused(f"It cannot be made yet. {wrong[0].what}. {wrong[0].instead}.{more}") from error


def share_fields(share: str) -> dict[str, Any]:
    """What stands in a line for "7.5", "7,5 %", "rest", "as needed, 0.5 %" or "1 % active". Raises ChangeRefused."""
    plain = share.strip().casefold()
    if plain == "rest":
        return {"percent": "rest"}
    if plain.startswith("as needed"):
        cap = plain.removeprefix("as needed").strip(" ,").removesuffix("%").strip()
        return {"percent": "as needed", "cap": f"{_number(cap, share):g} %"}
    if plain.endswith("active"):
        return {
            "percent": f"{_number(plain.removesuffix('active').strip().removesuffix('%'), share):g} % active"
        }
    return {"percent": _number(plain.removesuffix("%"), share)}


def _number(text: str, share: str) -> float:
    try:
        return float(text.strip().replace(",", "."))
    except ValueError as error:
        raise ChangeRefused(
            f'{share[:40]!r} is no share. Write a percentage like 7.5, or "rest", "as needed, 0.5 %", "1 % active".'
        ) from error
