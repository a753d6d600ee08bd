"""Where procedures are kept: the shipped library, and a maker's own folder beside it."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from benchapp.foundation.language import tr

from .errors import ProcedureNotFound
from .wording import suggestion

LIBRARY = Path(__file__).parent / "library"


def shipped() -> tuple[str, ...]:
    """The names of the shipped procedures, in alphabetical order."""
    return tuple(sorted(_on(LIBRARY)))


def kept_in(folder: Path) -> tuple[str, ...]:
    """The names of the procedures in a maker's own folder, in alphabetical order."""
    return tuple(sorted(_on(folder)))


def find(name_or_path: str | Path, own: Path | None = None, also: Iterable[str] = ()) -> Path:
    """The file of a procedure, given as a name on the shelf or as a path to a .toml file.

    A name is only compared with the files that lie in ``own`` and in the library, ``own`` first; it never
    becomes part of a path. Raises ProcedureNotFound, listing what there is, ``also`` what lies in no file.
    """
    text = str(name_or_path)
    if isinstance(name_or_path, Path) or text.endswith(".toml") or "/" in text or "\\" in text:
        path = Path(text)
        if not path.is_file():
            raise ProcedureNotFound(tr("There is no file {text}. Check its name and folder", text=text))
        return path
    known = _on(LIBRARY) | (_on(own) if own is not None else {})
    if text not in known:
        raise ProcedureNotFound(
            tr(
                'There is no procedure "{text}". Name one, or give the path of a file that ends in .toml. {suggestion}',
                text=text,
                suggestion=suggestion(text, sorted({*known, *also})),
            )
        )
    return known[text]


def _on(folder: Path) -> dict[str, Path]:
    return {path.stem: path for path in folder.glob("*.toml") if path.is_file()}
