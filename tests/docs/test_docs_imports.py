"""No module imports itself by way of others: every import counts, those for types and those inside functions too."""

from __future__ import annotations

import ast
import itertools
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
HOUSE = ("benchapp", "drivers", "procedures")


def modules() -> dict[str, Path]:
    """Every module of the house by its dotted name; a package's ``__init__`` by the package's."""
    files = (file for room in HOUSE for file in (ROOT / room).rglob("*.py"))
    return {
        ".".join(file.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"): file
        for file in files
    }


def imports(name: str, file: Path, known: dict[str, Path]) -> set[str]:
    """The modules of the house that it imports, wherever in the file."""
    package = name if file.name == "__init__.py" else name.rpartition(".")[0]
    found: set[str] = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                parts = package.split(".")
                base = ".".join([*parts[: len(parts) - node.level + 1], *([base] if base else [])])
            deeper = {f"{base}.{alias.name}" for alias in node.names}
            found |= (deeper & known.keys()) or {base}
            if not deeper <= known.keys():  # something that stands in the package's own file
                found.add(base)
    return {one for one in found if one in known and one != name}


def circles(graph: dict[str, set[str]]) -> list[set[str]]:
    """The strongly connected components of more than one module (Tarjan, 1972, without recursion)."""
    index: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    out: list[set[str]] = []
    count = itertools.count()
    for root in graph:
        if root in index:
            continue
        work = [(root, iter(sorted(graph[root])))]
        index[root] = low[root] = next(count)
        stack.append(root)
        while work:
            at, rest = work[-1]
            for other in rest:
                if other not in index:
                    index[other] = low[other] = next(count)
                    stack.append(other)
                    work.append((other, iter(sorted(graph[other]))))
                    break
                if other in stack:
                    low[at] = min(low[at], index[other])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[at])
                if low[at] == index[at]:
                    part: set[str] = set()
                    while at not in part:
                        part.add(stack.pop())
                    if len(part) > 1:
                        out.append(part)
    return out


def test_no_circle_of_imports():
    known = modules()
    assert len(known) > 100
    found = circles({name: imports(name, file, known) for name, file in known.items()})
    assert [sorted(c) for c in found] == []


@pytest.mark.parametrize(
    ("graph", "found"),
    [({"a": {"b"}, "b": {"c"}, "c": set()}, []), ({"a": {"b"}, "b": {"c"}, "c": {"b"}, "d": {"a"}}, [{"b", "c"}]),
     ({"a": {"b"}, "b": {"a", "c"}, "c": {"d"}, "d": {"c"}}, [{"c", "d"}, {"a", "b"}])],
)  # fmt: skip
def test_a_circle_is_found(graph, found):
    assert circles(graph) == found


def test_imports_for_types_and_inside_functions_count(tmp_path):
    known = dict.fromkeys(("p", "p.a", "p.b", "p.c", "p.d"), tmp_path)
    file = tmp_path / "x.py"
    file.write_text(
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from p.a import A\n"
        "def f():\n    from p import b\n    from . import c\nimport p.d\n"
    )
    assert imports("p.x", file, known) == {"p.a", "p.b", "p.c", "p.d"}
