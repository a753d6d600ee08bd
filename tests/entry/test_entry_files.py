"""Files from outside can execute nothing and reach no path: what the interpreter itself reports while they are read."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

#: Reads one file through one reader, and prints every audited act of the interpreter but those of importing itself.
#: The names are those of the interpreter's own table of audit events.
WATCHED = """
import sys
from pathlib import Path

from {module} import {reader}

{warm}
try:
    {reader}(Path("harmless.toml"))  # whatever is loaded only to refuse something is loaded by now
except {error}:
    pass
seen = []
def hook(event, args):
    if event in ("exec", "compile", "import", "os.system", "subprocess.Popen", "socket.connect", "socket.bind",
                 "os.remove", "os.rename", "os.mkdir", "ctypes.dlopen"):
        seen.append(event)
    elif event == "open" and not str(args[0]).endswith((".py", ".pyc")):
        seen.append(f"open {{args[0]}} {{args[1]}}")
sys.addaudithook(hook)
try:
    {reader}(Path(sys.argv[1]))
    print("read")
except {error} as error:
    print("refused")
print("\\n".join(seen))
"""

PROCEDURE = """
[formula]
name = "__import__('os').system('touch pwned')"
use = "leave-on"
description = "$(touch pwned) `touch pwned` ${HOME} %(asctime)s {0.__class__} ../../etc/passwd"
include = "../../../etc/passwd"
ph = [5.0, 5.8]

[[formula.ingredient]]
name = "/etc/passwd"
inci = "file:///etc/passwd"
phase = "!!python/object/apply:os.system ['touch pwned']"
percent = "rest"
"""

BENCH = """
[[device]]
name = "$(touch pwned)"
kind = "scale"
port = "/dev/$(touch pwned)"
format = "../../../../etc/passwd"
"""


def acts(tmp_path: Path, module: str, reader: str, error: str, text: str, warm: str = "") -> list[str]:
    """What happened while that text was read, in a process of its own."""
    file = tmp_path / "outside.toml"
    file.write_text(text)
    (tmp_path / "harmless.toml").write_text(
        '[formula]\nname = "nothing else"\n\n[[device]]\nname = "nothing else"\n'
    )
    script = WATCHED.format(module=module, reader=reader, error=error, warm=warm)
    env = {k: v for k, v in os.environ.items() if k != "SDL_VIDEODRIVER"}
    done = subprocess.run(
        [sys.executable, "-c", script, str(file)],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env=env,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
    return [line for line in done.stdout.splitlines() if line]


@pytest.mark.parametrize(
    ("module", "reader", "error", "text", "warm"),
    [
        ("procedures.reading", "read_procedure", "Exception", PROCEDURE, "from procedures.shelf import find; read_procedure(find('tide-pool-gel'))"),
        ("drivers.bench_file", "read_bench", "Exception", BENCH, "from drivers.formats import shipped_formats; shipped_formats()"),
    ],
)  # fmt: skip
def test_a_hostile_file_is_opened_read_and_refused_and_nothing_else_happens(
    tmp_path, module, reader, error, text, warm
):
    said, *done = acts(tmp_path, module, reader, error, text, warm)
    assert said == "refused"
    opened = [line for line in done if line.startswith("open ")]
    others = [line for line in done if not line.startswith("open ")]
    assert opened
    assert all(line.startswith(f"open {tmp_path / 'outside.toml'} ") for line in opened)
    assert others == [], "no code is compiled or run, no module loaded, no process, no socket"
    assert sorted(os.listdir(tmp_path)) == ["harmless.toml", "outside.toml"]


def test_a_rehearsal_listens_on_no_socket_and_connects_to_none(tmp_path):
    script = (
        "import sys; seen = []\n"
        "sys.addaudithook(lambda e, a: seen.append((e, str(a[1]))) if e in ('socket.bind', 'socket.connect') else None)\n"
        "from benchapp.cli import main\n"
        "code = main(['rehearse', 'tide-pool-gel', '--terminal', '--pace', '0', '--data', sys.argv[1]])\n"
        "print(code, seen, file=sys.stderr)\n"
    )
    env = {k: v for k, v in os.environ.items() if k != "SDL_VIDEODRIVER"}
    done = subprocess.run(
        [sys.executable, "-c", script, str(tmp_path)], stdin=subprocess.DEVNULL, capture_output=True, text=True, env=env,
        timeout=200,
    )  # fmt: skip
    if os.name == "posix":
        assert done.stderr.strip().endswith("0 []"), done.stderr
