"""One command, run in this process: quicker by the second that another one takes to start. What hangs on the process
itself (encodings, signals, a full disk behind the output) starts one."""

from __future__ import annotations

import contextlib
import io
import os
import signal
from pathlib import Path
from subprocess import CompletedProcess
from unittest import mock

from benchapp.cli import main


def command(
    *words: str, keyed: str = "", env: dict[str, str] | None = None, cwd: Path | None = None
) -> CompletedProcess[str]:
    """Its exit code and what it said. An error of the program is raised, as nothing here catches it."""
    out, errors = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True) for _ in range(2))
    term = signal.getsignal(signal.SIGTERM)
    with (
        contextlib.redirect_stdout(out), contextlib.redirect_stderr(errors), mock.patch("sys.stdin", io.StringIO(keyed)),
        mock.patch.dict(os.environ, _without_a_display() | (env or {}), clear=True), contextlib.chdir(cwd or Path.cwd()),
    ):  # fmt: skip
        try:
            code = main(words)
        except SystemExit as refused:  # how the reader of the command line ends it
            code = int(refused.code or 0)
        finally:
            signal.signal(signal.SIGTERM, term)
    said, mistakes = (x.buffer.getvalue().decode() for x in (out, errors))  # type: ignore[attr-defined]
    return CompletedProcess(words, code, said, mistakes)


def _without_a_display() -> dict[str, str]:
    """The tests of the glass name one for this process; a command that found it would open a window and wait."""
    return {k: v for k, v in os.environ.items() if k not in ("SDL_VIDEODRIVER", "DISPLAY", "WAYLAND_DISPLAY")}
