"""The sentences of the program as they stand in its sources, and a language made up of them; and, by hand, the catalogues
brought up to date: python tests/catalogue.py."""

from __future__ import annotations

import ast
import io
import sys
import tomllib
from collections.abc import Iterator
from functools import lru_cache
from gettext import NullTranslations
from itertools import chain
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po

ROOT = Path(__file__).parents[1]
if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))  # this checkout, not what is installed

from benchapp.foundation.language import Language  # noqa: E402
from benchapp.rehearsal.scenario_form import SHOWN, ScenarioFile  # noqa: E402
from benchapp.rehearsal.scenario_reading import scenarios  # noqa: E402
from procedures.reading import read_procedure  # noqa: E402
from procedures.said import looked_up_in  # noqa: E402
from procedures.schema import Table  # noqa: E402

SHIPPED = ROOT / "benchapp" / "foundation" / "languages"
ROOMS = ("benchapp", "drivers", "procedures")
#: What looks a sentence up, and how many forms of it are given.
KEYWORDS = {"tr": 1, "tr_noop": 1, "tr_n": 2}


@lru_cache(maxsize=1)
def sentences() -> Catalog:
    """Every sentence that is looked up, with the files it stands in."""
    found = Catalog(charset="utf-8")
    for room in ROOMS:
        for file in sorted((ROOT / room).rglob("*.py")):
            for words in looked_up(file.read_text(encoding="utf-8")):
                found.add(words if len(words) > 1 else words[0], locations=[(str(file.relative_to(ROOT)), 0)])
    for file in scenarios().values():
        form = ScenarioFile.model_validate(tomllib.loads(file.read_text(encoding="utf-8")))
        for words in shown_in(form):
            found.add(words, locations=[(str(file.relative_to(ROOT)), 0)])
    for file in sorted((ROOT / "benchapp" / "calculations" / "data").glob("*.toml")):
        for words in said_of_the_law(tomllib.loads(file.read_text(encoding="utf-8"))):
            found.add(words, locations=[(str(file.relative_to(ROOT)), 0)])
    for file in sorted((ROOT / "procedures" / "library").glob("*.toml")):
        for words in looked_up_in(read_procedure(file).procedure):
            found.add(words, locations=[(str(file.relative_to(ROOT)), 0)])
    return found


def looked_up(source: str) -> Iterator[tuple[str, ...]]:
    """The sentences a module looks up, with their forms. Babel's own reader leaves out what stands inside an f-string or another call."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in KEYWORDS:
            given = node.args[: KEYWORDS[node.func.id]]
            words = tuple(x.value for x in given if isinstance(x, ast.Constant) and isinstance(x.value, str))
            if words and len(words) == len(given) and words[0]:
                yield words


def said_of_the_law(found: object) -> Iterator[str]:
    """What the tables of the law say in words, wherever it stands in them."""
    if isinstance(found, dict):
        yield from (found[key] for key in ("text", "basis") if key in found)
    inner = found.values() if isinstance(found, dict) else found if isinstance(found, list) else ()
    yield from chain.from_iterable(map(said_of_the_law, inner))


def shown_in(table: Table) -> Iterator[str]:
    """What people read of a table and of those in it: the fields its form marks as shown."""
    for name, field in type(table).model_fields.items():
        value = getattr(table, name)
        if SHOWN in field.metadata and value:
            yield value
        inner = value if isinstance(value, list) else [value]
        yield from chain.from_iterable(shown_in(x) for x in inner if isinstance(x, Table))


def read(file: Path) -> Catalog:
    """A shipped catalogue."""
    return read_po(io.BytesIO(file.read_bytes()), locale=file.stem, abort_invalid=True)


class _Marked(NullTranslations):
    """Each sentence between brackets."""

    def __init__(self) -> None:
        super().__init__()
        self.known = {m.id for m in sentences() if isinstance(m.id, str) and m.id}

    def gettext(self, message: str) -> str:
        return f"⟦{message}⟧" if message in self.known else message

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return f"⟦{msgid1 if n == 1 else msgid2}⟧"


@lru_cache(maxsize=1)
def marked() -> Language:
    """A language that nobody speaks: what comes out of the catalogue stands between brackets, the rest as it is."""
    return Language("xx", _Marked(), ",")


def outside(text: str) -> str:
    """What of a text in the marked language did not come out of the catalogue."""
    depth, rest = 0, []
    for sign in text:
        depth += {"⟦": 1, "⟧": -1}.get(sign, 0)
        if depth == 0 and sign != "⟧":
            rest.append(sign)
    return "".join(rest).strip()


def bring_up_to_date() -> None:
    """New sentences into each catalogue, without their translation; out with those the program no longer says."""
    for file in sorted(SHIPPED.glob("*.po")):
        catalogue = read(file)
        catalogue.update(sentences(), no_fuzzy_matching=True)
        catalogue.obsolete.clear()
        catalogue.creation_date = (
            catalogue.revision_date
        )  # no time of day: two branches would always differ in it
        for message in catalogue:
            message.flags.discard("python-format")  # a per cent sign is one; places stand in braces
        lacking = sum(
            1
            for m in catalogue
            if m.id and not (m.string if isinstance(m.string, str) else all(m.string or ("",)))
        )
        with file.open("wb") as out:
            write_po(out, catalogue, width=120, sort_output=True, include_lineno=False, omit_header=False)
        sys.stdout.write(f"{file.name}: {lacking} without a translation\n")


if __name__ == "__main__":
    bring_up_to_date()
