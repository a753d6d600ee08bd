"""Drafts on disk: the text as a maker can read it, and beside it every state it ever had, a line each.

A change is appended to the history and synced before the text is replaced, so whatever happens in between, nothing is
lost. Undone changes stay in the file. A draft's text that somebody changed by hand becomes one more state.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from benchapp.foundation.json_lines import append_line, lines_in
from benchapp.foundation.language import alphabetical, tr, tr_noop
from benchapp.foundation.text_files import NoTextFile, read_text_file, replace_text_file
from benchapp.foundation.toml_reading import TomlError, read_toml
from benchapp.recipes.draft import Draft
from benchapp.recipes.errors import ChangeRefused, NoSuchRecipe, RecipeError
from procedures.building import slug

_HISTORY = ".undo.jsonl"
_BY_HAND = tr_noop("changed by hand")


@dataclass(frozen=True, slots=True)
class History:
    """The states of one draft: (what was done, the draft then); ``at`` is the one that stands. ``base``: the text of
    the procedure it came from, "" for none, and ``home`` that procedure's key."""

    states: tuple[tuple[str, Draft], ...]
    at: int
    base: str = ""
    home: str = ""

    @property
    def draft(self) -> Draft:
        """As it stands."""
        return self.states[self.at][1]

    @property
    def undoes(self) -> str:
        """What undoing would take back, "" at the beginning."""
        return self.states[self.at][0] if self.at else ""

    @property
    def redoes(self) -> str:
        """What was taken back last, "" for nothing."""
        return self.states[self.at + 1][0] if self.at + 1 < len(self.states) else ""


class DraftStore:
    """The drafts of one folder."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def on_disk(self) -> tuple[str, ...]:
        """Every draft there is, in alphabetical order; one of which no byte came to the disk is none."""
        kept = (p for p in self._folder.glob(f"*{_HISTORY}") if p.stat().st_size)
        return tuple(sorted((p.name.removesuffix(_HISTORY) for p in kept), key=alphabetical))

    def begin(self, draft: Draft, what: str, base: str = "", home: str = "") -> str:
        """A new draft on disk; returns its key."""
        key, stem, n = "", slug(draft.name)[:60] or "recipe", 1
        while not key or key in self.on_disk():
            key, n = (stem if n == 1 else f"{stem}-{n}"), n + 1
        self._append(key, {**_state(what, draft), "base": base, "home": home})
        self._write(key, draft)
        return key

    def open(self, key: str) -> History:
        """A draft with all its states; a text that was changed by hand is taken in. Raises NoSuchRecipe and
        ChangeRefused (a text changed by hand that is no TOML any more)."""
        history = self._history(key)
        try:
            text = read_text_file(self._text(key))
        except FileNotFoundError:
            self._write(key, history.draft)
            return history
        except NoTextFile as error:
            raise ChangeRefused(
                tr("{text} cannot be read: {error}.", text=self._text(key), error=error)
            ) from error
        known = {_hash(draft.text) for _, draft in history.states}
        if text == history.draft.text:
            return history
        if _hash(text) in known:  # the machine stopped between the history and the text
            self._write(key, history.draft)
            return history
        try:
            read_toml(text)
        except TomlError as error:
            raise ChangeRefused(
                tr(
                    "{text}:{line}:{column}: {error}. Or delete this file: its last readable state comes "
                    "back.",
                    text=self._text(key),
                    line=error.place.line,
                    column=error.place.column,
                    error=error,
                )
            ) from error
        self._append(key, _state(_BY_HAND, Draft(text, history.draft.answers)))
        return self._history(key)

    def keep(self, key: str, what: str, draft: Draft) -> History:
        """One more change: on the disk when this returns. Raises NoSuchRecipe, OSError."""
        if draft != self.open(key).draft:
            self._append(key, _state(what, draft))
            self._write(key, draft)
        return self._history(key)

    def undo(self, key: str) -> History:
        """The last change taken back; nothing at the beginning."""
        return self._step(key, -1)

    def redo(self, key: str) -> History:
        """What was taken back last, again."""
        return self._step(key, 1)

    def rebase(self, key: str, draft: Draft, home: str) -> History:
        """The draft is now what stands in the procedure ``home``: a later hand edit is compared with that."""
        self._append(key, {**_state("saved", draft), "base": draft.text, "home": home})
        self._write(key, draft)
        return self._history(key)

    def drop(self, key: str) -> None:
        """A draft less; both its files go to the names they have with ".dropped" behind, so that nothing is lost."""
        self._history(key)
        for path in (self._text(key), self._path(key)):
            if path.exists():
                path.replace(path.with_name(f"{path.name}.dropped"))

    # --- how ----------------------------------------------------------------------------------------------

    def _text(self, key: str) -> Path:
        return self._folder / f"{key}.toml"

    def _path(self, key: str) -> Path:
        return self._folder / f"{key}{_HISTORY}"

    def _write(self, key: str, draft: Draft) -> None:
        replace_text_file(self._text(key), draft.text)

    def _append(self, key: str, entry: dict[str, object]) -> None:
        append_line(self._path(key), entry)

    def _step(self, key: str, by: int) -> History:
        history = self.open(key)
        if 0 <= history.at + by < len(history.states):
            self._append(key, {"step": by})
            history = self._history(key)
            self._write(key, history.draft)
        return history

    def _history(self, key: str) -> History:
        if key not in self.on_disk():
            raise NoSuchRecipe(
                tr(
                    "There is no draft {key!r}. There are: {names}.",
                    key=key,
                    names=", ".join(self.on_disk()) or tr("none yet"),
                )
            )
        states: list[tuple[str, Draft]] = []
        at, base, home = -1, "", ""
        for entry in lines_in(self._path(key).read_bytes()):
            if entry is None:
                continue  # the half line of a power cut: that change was never said to be kept
            if "step" in entry:
                at += entry["step"]
                continue
            states = [*states[: at + 1], (entry["what"], Draft(entry["text"], entry["answers"]))]
            at = len(states) - 1
            base, home = entry.get("base", base), entry.get("home", home)
        if not states:
            raise RecipeError(
                tr(
                    "The history of the draft {key!r} is empty. Its text is {text}.",
                    key=key,
                    text=self._text(key),
                )
            )
        return History(tuple(states), at, base, home)


def _state(what: str, draft: Draft) -> dict[str, object]:
    return {"what": what, "text": draft.text, "answers": dict(draft.answers)}


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()
