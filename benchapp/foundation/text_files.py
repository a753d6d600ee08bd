"""Files read and written: text from outside, plain files only, no more of them than is sensible, as UTF-8 with or without
its mark; and our own, whole or not there."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
from collections.abc import Callable, Iterator
from pathlib import Path

from benchapp.foundation.language import Sayable, tr

#: A file that is larger was never written by hand, in bytes.
LARGEST = 8 * 2**20


class NoTextFile(Exception):
    """What is there is no such file; the text says why, as part of a sentence. ``line`` where it stops being text."""

    def __init__(self, why: str, line: int = 0) -> None:
        super().__init__(why)
        self.line = line


def read_text_file(path: Path) -> str:
    """The text of a file. Raises NoTextFile, and OSError where it is missing or out of reach. A pipe or a device is
    not even opened: that could wait, or go on, for ever."""
    found = path.stat()
    if stat.S_ISDIR(found.st_mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
    if not stat.S_ISREG(found.st_mode):
        raise NoTextFile(tr("it is no plain file"))
    with path.open("rb") as file:
        raw = file.read(LARGEST + 1)
    if len(raw) > LARGEST:
        raise NoTextFile(tr("it is too large, over {largest} MB", largest=LARGEST >> 20))
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise NoTextFile(tr("it is not text in UTF-8"), raw[: error.start].count(b"\n") + 1) from error


def replace_text_file(path: Path, text: str) -> None:
    """Write a file whole, in the place of what was there: whatever happens meanwhile, the old or the new text stands
    there. Raises OSError."""
    replace_file(path, text.encode())


def replace_file(path: Path, data: bytes) -> None:
    """The same with any bytes. Raises OSError."""
    path.parent.mkdir(parents=True, exist_ok=True)
    _put_in_place(path, path.with_name(f"{path.name}.new"), data)


def write_whole(path: Path, data: bytes, first: Callable[[], None] = lambda: None) -> None:
    """A new file, whole or not at all, whatever happens meanwhile. ``first`` is done once all of it is on the disk and
    before it is there: where that raises, there is no file. Raises FileExistsError, and any other OSError."""
    if path.exists():
        raise FileExistsError(path)
    _put_in_place(path, path.with_name(f"{path.name}.unfinished"), data, first)


def _put_in_place(path: Path, beside: Path, data: bytes, first: Callable[[], None] = lambda: None) -> None:
    """On the disk beside its place first. What does not fit is taken away again: half a file helps nobody, and holds the
    last room of a full disk."""
    try:
        with beside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        first()
        beside.replace(path)
    except OSError as error:
        raise named(error, path) from error
    finally:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)


@contextlib.contextmanager
def said_as(kind: Callable[[str], Exception], sentence: str, **given: Sayable) -> Iterator[None]:
    """Where the disk refuses inside, ``kind`` is raised with that sentence, which names the disk's own reason as {strerror}."""
    try:
        yield
    except OSError as error:
        raise kind(tr(sentence, strerror=error.strerror, **given)) from error


def named(error: OSError, path: Path) -> OSError:
    """The same error with the file it is about: that of a full disk names none."""
    return OSError(error.errno, error.strerror, str(path))
