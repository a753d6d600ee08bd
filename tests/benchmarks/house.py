"""The house in figures: files, lines, circles, longest things, names that stand twice, and the calls one poll takes.

By hand: ``python tests/benchmarks/house.py``. docs/architecture.md holds what it printed; nothing here judges.
"""

from __future__ import annotations

import ast
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "docs")]
ROOMS = ("benchapp", "drivers", "procedures")
LONG_FILE, LONG_FUNCTION, MANY_PARAMETERS = 300, 40, 6


def product() -> Iterator[tuple[Path, ast.Module, int]]:
    """Every file of the product with its tree and how many lines it has."""
    for room in ROOMS:
        for file in sorted((ROOT / room).rglob("*.py")):
            text = file.read_text(encoding="utf-8")
            yield file.relative_to(ROOT), ast.parse(text), len(text.splitlines())


def functions(tree: ast.Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Every function and method."""
    return (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef))


def parameters(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """How many it takes, itself not counted."""
    given = function.args
    named = [a.arg for a in (*given.posonlyargs, *given.args, *given.kwonlyargs)]
    return len([n for n in named if n not in ("self", "cls")])


def of_the_text() -> Iterator[tuple[str, object]]:
    """What can be counted without running anything."""
    files = list(product())
    found = [(f, path) for path, tree, _ in files for f in functions(tree)]
    length = {(path, f.name): (f.end_lineno or f.lineno) - f.lineno + 1 for f, path in found}
    classes = Counter(n.name for _, t, _ in files for n in t.body if isinstance(n, ast.ClassDef))
    calls = [n for _, t, _ in files for n in ast.walk(t) if isinstance(n, ast.Call)]
    longest = max(files, key=lambda x: x[2])
    slowest = max(length, key=lambda key: length[key])
    yield "files", len(files)
    for room in ROOMS:
        yield f"lines of {room}", sum(n for path, _, n in files if path.parts[0] == room)
    yield "lines of product", sum(n for _, _, n in files)
    yield "longest file", f"{longest[0]} {longest[2]}"
    yield f"files over {LONG_FILE} lines", sum(n > LONG_FILE for _, _, n in files)
    yield "longest function", f"{slowest[0]} {slowest[1]} {length[slowest]}"
    yield f"functions over {LONG_FUNCTION} lines", sum(n > LONG_FUNCTION for n in length.values())
    yield (
        f"functions with more than {MANY_PARAMETERS} parameters",
        sum(parameters(f) > MANY_PARAMETERS for f, _ in found),
    )
    yield "isinstance calls", sum(isinstance(c.func, ast.Name) and c.func.id == "isinstance" for c in calls)
    yield "class names that stand twice", sum(n > 1 for n in classes.values())
    yield "circles of imports, type-only ones counted", circles_now()


def circles_now() -> int:
    """By the same rule as the test that forbids them."""
    from test_docs_imports import circles, imports, modules

    known = modules()
    return len(circles({name: imports(name, file, known) for name, file in known.items()}))


def calls_of_a_poll() -> int:
    """Calls of the product's own functions while a session takes in one mass reading in the middle of a pour."""
    from benchapp.make.inputs import Press, Skip
    from benchapp.record.journal import Journal
    from benchapp.runtime.session_start import BatchOrder, begin, facts_of
    from drivers.readings import Quantity, Reading
    from drivers.simulated import DEFAULT_DEVICES
    from procedures.reading import read_procedure
    from procedures.shelf import find

    lotion = read_procedure(find("oat-hand-lotion")).procedure
    now, called = [0.0], Counter()
    with tempfile.TemporaryDirectory() as folder:
        journal = Journal(Path(folder), lambda: "2026-03-01T09:00:00.000+01:00")
        facts = [facts_of(d) for d in DEFAULT_DEVICES]
        session = begin(journal, BatchOrder(lotion, 500.0, facts, "Mara Lind", "b"), lambda: now[0])

        def weigh(grams: float, times: int = 40) -> None:
            for _ in range(times):
                now[0] += 0.1
                session.post(Reading("bench scale", "mass", Quantity.MASS, grams, now[0], True, False, 0.1))
                session.poll()

        weigh(0.0)
        session.put(Skip(now[0], session.view().prompt, "not part of this"))
        weigh(420.0)
        session.put(Press(now[0], session.view().prompt, "it is"))
        session.put(Press(now[0], session.view().prompt, "yes"))
        weigh(420.0)
        weigh(520.0, 5)
        assert session.make.state.progress.baseline_g is not None, "in the middle of a pour"

        def count(frame: object, event: str, _: object) -> None:
            code = frame.f_code  # type: ignore[attr-defined]
            ours = str(ROOT) in code.co_filename and any(f"{room}/" in code.co_filename for room in ROOMS)
            if event == "call" and ours and not code.co_name.startswith("<"):
                called[code.co_qualname if hasattr(code, "co_qualname") else code.co_name] += 1

        now[0] += 0.1
        session.post(Reading("bench scale", "mass", Quantity.MASS, 530.0, now[0], False, False, 0.1))
        sys.setprofile(count)
        session.poll()
        sys.setprofile(None)
        journal.close()
    if "-v" in sys.argv:
        print(*(f"{n:4d} {name}" for name, n in called.most_common(60)), sep="\n")
    return sum(called.values())


if __name__ == "__main__":
    for what, value in of_the_text():
        print(f"{what:55} {value}")
    print(f"{'calls of one poll with one mass reading in a pour':55} {calls_of_a_poll()}")
