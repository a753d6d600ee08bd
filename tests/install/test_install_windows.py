"""Windows: nothing is imported there that does not exist there, when a module of the program is loaded."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
#: Modules of the standard library that only POSIX systems have (library reference, "Unix-specific services", and those
#: marked "Availability: Unix").
POSIX_ONLY = {
    "crypt", "curses", "fcntl", "grp", "nis", "ossaudiodev", "posix", "pty", "pwd", "readline", "resource", "spwd", "syslog",
    "termios", "tty",
}  # fmt: skip
#: Names of modules that Windows has without these (from memory of the library reference).
LACKING = {
    "os": {"fork", "forkpty", "getuid", "geteuid", "getgid", "openpty", "setsid", "statvfs", "chown", "mkfifo", "uname", "ttyname", "nice"},
    "signal": {"SIGHUP", "SIGUSR1", "SIGUSR2", "SIGALRM", "SIGWINCH", "alarm", "pause"},
    "socket": {"AF_UNIX", "socketpair_unix"},
    "time": {"tzset", "clock_gettime"},
}  # fmt: skip
#: Questions that are answered with no on Windows.
ELSEWHERE = ("TYPE_CHECKING", "os.name == 'posix'", "sys.platform != 'win32'")


def sources() -> list[Path]:
    return [p for room in ("benchapp", "drivers", "procedures") for p in sorted((ROOT / room).rglob("*.py"))]


def loaded(body: list[ast.stmt]) -> Iterator[ast.stmt]:
    """Every statement that runs when a module is loaded, but those that expect it to fail or ask for the system."""
    for one in body:
        if isinstance(one, ast.FunctionDef | ast.AsyncFunctionDef):
            continue
        if isinstance(one, ast.ClassDef):
            yield from loaded(one.body)
        elif isinstance(one, ast.If):
            asked = ast.unparse(one.test)
            yield from loaded([] if asked in ELSEWHERE else one.body)
            yield from loaded([] if asked == "sys.platform == 'win32'" else one.orelse)
        elif isinstance(one, ast.Try):
            expected = {
                n.id for h in one.handlers if h.type for n in ast.walk(h.type) if isinstance(n, ast.Name)
            }
            if not expected & {"ImportError", "ModuleNotFoundError", "AttributeError"}:
                yield from loaded(one.body)
            for part in (*(h.body for h in one.handlers), one.orelse, one.finalbody):
                yield from loaded(part)
        else:
            yield one


def missing_there(path: Path) -> list[str]:
    found = []
    for one in loaded(ast.parse(path.read_text(encoding="utf-8")).body):
        names = [a.name for a in one.names] if isinstance(one, ast.Import) else []
        if isinstance(one, ast.ImportFrom) and one.module and not one.level:
            names = [one.module]
            found += [f"{one.module}.{a.name}" for a in one.names if a.name in LACKING.get(one.module, ())]
        found += [name for name in names if name.partition(".")[0] in POSIX_ONLY]
        found += [
            f"{n.value.id}.{n.attr}"
            for n in ast.walk(one)
            if isinstance(n, ast.Attribute)
            and isinstance(n.value, ast.Name)
            and n.attr in LACKING.get(n.value.id, ())
        ]
    return found


def test_no_module_of_the_program_needs_what_windows_lacks_to_be_loaded() -> None:
    found = {str(p.relative_to(ROOT)): names for p in sources() if (names := missing_there(p))}
    assert len(sources()) > 400
    assert found == {}


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("import termios", ["termios"]),
        ("from pty import spawn", ["pty"]),
        ("class A:\n    import fcntl", ["fcntl"]),
        ("import os\nUID = os.getuid()", ["os.getuid"]),
        ("try:\n    import grp\nexcept KeyError:\n    pass", ["grp"]),
        ("try:\n    import grp\nexcept ImportError:\n    pass", []),
        ("def f():\n    import termios", []),
        ("if TYPE_CHECKING:\n    import termios", []),
        ("if sys.platform == 'win32':\n    import msvcrt\nelse:\n    import termios", []),
        ("if os.name == 'nt':\n    import termios", ["termios"]),
    ],
)
def test_the_walk_itself_finds_what_it_is_for(text, found, tmp_path) -> None:
    file = tmp_path / "one.py"
    file.write_text(text)
    assert missing_there(file) == found
