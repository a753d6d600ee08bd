"""A maker's own recipes under every face, from the first line to a procedure."""

from __future__ import annotations

from pathlib import Path

from benchapp.foundation.language import tr
from benchapp.foundation.text_files import NoTextFile, read_text_file, replace_text_file
from benchapp.recipes import draft as d
from benchapp.recipes.draft_store import History
from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.meeting import put_together
from benchapp.service.recipe_formulas import RecipeFormulas
from benchapp.service.recipe_methods import RecipeMethods
from procedures.building import slug
from procedures.errors import ProcedureInvalid
from procedures.reading import read_text
from procedures.shelf import shipped


class RecipeDesk(RecipeFormulas, RecipeMethods):
    """The recipes of a workshop's folder."""

    def save(self, key: str, name: str = "") -> tuple[str, str]:
        """Make the draft a procedure; its key, and how it went. What was changed in the file by hand meanwhile is kept.
        Raises ChangeRefused (it cannot be made yet, or a name that is taken), ChangedMeanwhile."""
        history = self._store.open(key)
        draft = d.with_fields(history.draft, ("formula",), {"name": name}) if name else history.draft
        home = history.home if not name else ""
        stem = home or slug(draft.name)[:60]
        path = self._own / f"{stem}.toml"
        if stem in shipped() or (stem != home and (path.exists() or stem in self._arrived)):
            raise ChangeRefused(
                tr("There is a procedure {stem} already. Save it under another name.", stem=stem)
            )
        text = _with_hand_edits(path, history, draft.text) if home else draft.text
        _makeable(text, stem)
        if not (
            path.exists() and history.base == text and text == draft.text
        ):  # the same is left as it is, byte for byte
            replace_text_file(path, text)
        self._store.rebase(key, d.Draft(text, draft.answers), stem)
        merged = tr(" What was changed in the file by hand is kept in it.") if text != draft.text else ""
        return stem, tr(
            "{name} is saved as {path}, and can be made.{merged}", name=draft.name, path=path, merged=merged
        )


def _with_hand_edits(path: Path, history: History, text: str) -> str:
    """The text with what was changed in the file since the draft came from it."""
    try:
        now = read_text_file(path)
    except FileNotFoundError:
        return text
    except NoTextFile as error:
        raise ChangeRefused(
            tr("{path} cannot be read: {error}. Put it away, and save again.", path=path, error=error)
        ) from error
    return text if now == history.base else put_together(history.base, text, now)


def _makeable(text: str, stem: str) -> None:
    try:
        read_text(text, f"{stem}.toml")
    except ProcedureInvalid as error:
        wrong = [p for p in error.problems if p.grade == "error"]
        if wrong[0].lacks:
            raise ChangeRefused(tr("It has no method yet. Have one proposed, then save it.")) from error
        more = tr(" And {count} more.", count=len(wrong) - 1) if len(wrong) > 1 else ""
        raise ChangeRefused(
            tr(
                "It cannot be made yet. {what}. {instead}.{more}",
                what=wrong[0].what,
                instead=wrong[0].instead,
                more=more,
            )
        ) from error
