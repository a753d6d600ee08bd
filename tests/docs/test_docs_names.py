"""A newcomer knows a thing by its name: no two classes of the product have the same one."""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_no_two_classes_have_one_name():
    found = defaultdict(list)
    for room in ("benchapp", "drivers", "procedures"):
        for path in sorted((ROOT / room).rglob("*.py")):
            for node in ast.parse(path.read_text(encoding="utf-8")).body:
                if isinstance(node, ast.ClassDef):
                    found[node.name].append(str(path.relative_to(ROOT)))
    assert {name: files for name, files in found.items() if len(files) > 1} == {}
