"""Files that are only ever added to, one line of JSON for each thing: what a power cut or a full disk tore off spoils no other line."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from benchapp.foundation.text_files import named


def append_line(path: Path, entry: Mapping[str, object]) -> None:
    """One more line, on the disk when this returns. Where it does not fit, the file is as it was before, and a new one is
    not there. Raises OSError."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open(
        "ab", buffering=0
    ) as file:  # what a buffer could not get rid of would come again when it is closed
        stood = file.seek(0, os.SEEK_END)
        left = _apart(path, stood) + json.dumps(entry, ensure_ascii=False).encode() + b"\n"
        try:
            while left:
                left = left[file.write(left) :]
            os.fsync(file.fileno())
        except OSError as error:
            os.truncate(path, stood)
            if not stood:
                path.unlink()
            raise named(error, path) from error


def _apart(path: Path, stood: int) -> bytes:
    """What parts the next line from half a line that was torn off."""
    if not stood:
        return b""
    with path.open("rb") as file:
        file.seek(stood - 1)
        return b"" if file.read() == b"\n" else b"\n"


def lines_in(data: bytes) -> Iterator[dict[str, Any] | None]:
    """One for each line that is not empty, in order; None for one that is only half there, be it cut within a letter."""
    for line in data.split(b"\n"):
        if line.strip():
            yield _entry(line)


def _entry(line: bytes) -> dict[str, Any] | None:
    try:
        entry = json.loads(line)
    except ValueError:
        return None
    return entry if isinstance(entry, dict) else None
