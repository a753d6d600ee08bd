"""PINs of a bench in a workshop: their hashes lie in a file beside the journal and nowhere else. The chain, which goes to every bench,
holds a seal of the hash instead: who has only that can try no PIN against it, and who puts another hash in its place is found out."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from benchapp.foundation.language import tr
from benchapp.foundation.text_files import NoTextFile, read_text_file, replace_text_file
from benchapp.record.errors import JournalUnavailable

#: The file's name, beside the journal.
PINS = "pins.json"
#: How a seal begins; what follows is the SHA-256 of the hash as it is kept, whose salt nobody else has.
SEALED = "sealed:"


def sealed(kept: str) -> str:
    """The seal of a hash."""
    return SEALED + hashlib.sha256(kept.encode()).hexdigest()


class PinFile:
    """The hashes of one bench, by who they are of. Raises JournalUnavailable where the file cannot be used."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / PINS

    def behind(self, who: str, pin: str) -> str:
        """The hash that an event's ``pin`` stands for: itself where it is one, what is kept here where it is a seal; "" where nothing
        is, or something else."""
        if not pin.startswith(SEALED):
            return pin
        kept = self._read().get(who, "")
        return kept if sealed(kept) == pin else ""

    def keep(self, who: str, kept: str) -> str:
        """Keep a hash, on disk when this returns; its seal."""
        try:
            replace_text_file(self.path, json.dumps({**self._read(), who: kept}, indent=1))
        except OSError as error:
            raise self._unavailable(error.strerror) from error
        return sealed(kept)

    def _read(self) -> dict[str, str]:
        if not self.path.exists():
            return {}
        try:
            found = json.loads(read_text_file(self.path))
        except OSError as error:
            raise self._unavailable(error.strerror) from error
        except (NoTextFile, ValueError) as error:
            raise self._unavailable(str(error)) from error
        if not isinstance(found, dict):
            raise self._unavailable(tr("it holds no PINs"))
        return {str(who): str(kept) for who, kept in found.items()}

    def _unavailable(self, why: str | None) -> JournalUnavailable:
        return JournalUnavailable(
            tr("The PINs of this bench in {path} cannot be used ({why}).", path=self.path, why=why)
        )
