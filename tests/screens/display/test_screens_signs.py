"""Every sign that can stand on the glass is in the font it is drawn with: an unknown one would be an empty box."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]


FOLDERS = (
    "benchapp/screens",
    "benchapp/make",
    "benchapp/calculations",
    "benchapp/rehearsal",
    "procedures",
    "drivers",
)


def words(file: Path) -> str:
    """What a file can put on the glass: the texts of a program but its docstrings, all of a procedure but comments."""
    text = file.read_text(encoding="utf-8")
    if file.suffix == ".toml":
        return "\n".join(line.partition(" #")[0] for line in text.splitlines() if not line.startswith("#"))
    tree = ast.parse(text)
    told = {id(n.value) for n in ast.walk(tree) if isinstance(n, ast.Expr)}
    texts = (n for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, str))
    return "".join(n.value for n in texts if id(n) not in told)


def signs() -> set[str]:
    """Each sign beyond ASCII in them."""
    files = [f for folder in FOLDERS for kind in ("*.py", "*.toml") for f in (ROOT / folder).rglob(kind)]
    return {c for f in files for c in words(f) if ord(c) > 127}


@pytest.mark.parametrize("style", ["Regular", "Bold"])
def test_every_sign_is_in_the_font(style):
    import kivy
    from PIL import ImageFont

    font = ImageFont.truetype(str(Path(kivy.__file__).parent / "data" / "fonts" / f"Roboto-{style}.ttf"), 40)

    def drawn(sign: str) -> bytes:
        return bytes(font.getmask(sign))

    assert {"°", "–"} <= signs()
    empty_box = drawn("\U0010fffd")
    assert sorted(c for c in signs() if drawn(c) == empty_box) == []
