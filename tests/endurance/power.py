"""The power fails: sectors that were not synced reach the disk in any order or not at all, and sometimes torn.

Each append is let through, and the journal's files are kept as they were before and after it. What lies between the
two is what had been written and not yet synced when the power failed: every 512-byte sector of it is kept, dropped,
torn or filled with rubbish by chance (a file never shorter than before). Then the journal is opened, and every event of
the appends that had returned must be there, the chain whole. ``python tests/endurance/power.py 300``.

A drive that lies about syncing is tried too, by cutting into what was synced: what is left must be a beginning of
what was written, never a mixture.
"""

from __future__ import annotations

import random
import shutil
import sys
import tempfile
from pathlib import Path

from benchapp import events as ev
from benchapp.record.errors import RecordError
from benchapp.record.journal import JOURNAL, Journal
from benchapp.record.verifying import verify

SECTOR = 512
WALL = "2026-03-01T09:00:00.000+01:00"
FILES = (JOURNAL, f"{JOURNAL}-wal")


def kept(folder: Path) -> dict[str, bytes]:
    """The journal's files as they are."""
    return {name: (folder / name).read_bytes() if (folder / name).exists() else b"" for name in FILES}


def fallen(before: bytes, after: bytes, chance: random.Random) -> bytes:
    """What a disk may hold of a file that was being changed from ``before`` to ``after``."""
    out = bytearray(before.ljust(len(after), b"\0")[: max(len(before), len(after))])
    for start in range(0, len(after), SECTOR):
        old, new = bytes(out[start : start + SECTOR]), after[start : start + SECTOR]
        if old == new:
            continue
        what = chance.random()
        if what < 0.45:
            out[start : start + len(new)] = new
        elif what < 0.6:
            cut = chance.randrange(len(new) + 1)
            out[start : start + cut] = new[:cut]
        elif what < 0.7:
            # Only what was being written is spoiled, as SQLite assumes of drives ("powersafe overwrite").
            same = next(n for n, (a, b) in enumerate(zip(old, new, strict=False)) if a != b)
            out[start + same : start + len(new)] = chance.randbytes(len(new) - same)
    if chance.random() < 0.3:  # the file's new length may not have reached the disk either
        del out[chance.randint(len(before), max(len(before), len(out))) :]
    return bytes(out)


def opened(files: dict[str, bytes], place: Path) -> tuple[list[int], bool]:
    """The sequence numbers in a journal with these files, and whether its chain is whole."""
    shutil.rmtree(place, ignore_errors=True)
    place.mkdir()
    for name, data in files.items():
        if data:
            (place / name).write_bytes(data)
    journal = Journal(place, lambda: WALL)
    try:
        found = verify(journal)
        numbers = [s.seq for s in journal.of_kinds([ev.Watched], "b1")]
        return numbers, found.sound and not found.indexes
    finally:
        journal.close()


def power_cuts(appends: int, seed: int) -> list[str]:
    """One cut in every append; what was wrong afterwards."""
    chance, wrong = random.Random(seed), []
    with tempfile.TemporaryDirectory() as name:
        folder, place = Path(name) / "data", Path(name) / "after"
        journal = Journal(folder, lambda: WALL)
        written = 0
        for number in range(appends):
            before = kept(folder)
            count = chance.randint(1, 12)
            journal.append(
                "b1",
                [ev.Watched(at_s=float(number), step="x" * chance.randint(1, 900)) for _ in range(count)],
            )
            after = kept(folder)
            # Where the log was begun anew, the main file had been synced first: only the log is still in flight.
            anew = before[FILES[1]][:32] != after[FILES[1]][:32]
            cut = {
                FILES[0]: after[FILES[0]] if anew else fallen(before[FILES[0]], after[FILES[0]], chance),
                FILES[1]: fallen(b"" if anew else before[FILES[1]], after[FILES[1]], chance),
            }
            numbers, sound = opened(cut, place)
            if numbers[:written] != list(range(1, written + 1)) or len(numbers) not in (
                written,
                written + count,
            ):
                wrong.append(f"append {number}: {written} had returned, {len(numbers)} are there")
            if not sound:
                wrong.append(f"append {number}: the chain is not whole")
            written += count
        journal.close()
    return wrong


def lies(cuts: int, seed: int) -> tuple[list[str], int]:
    """A drive that had not written what it said it had: the log cut anywhere; what was wrong, and the most lost."""
    chance, wrong, most = random.Random(seed), [], 0
    with tempfile.TemporaryDirectory() as name:
        folder, place = Path(name) / "data", Path(name) / "after"
        journal = Journal(folder, lambda: WALL)
        for number in range(60):
            journal.append("b1", [ev.Watched(at_s=float(number), step="x" * 300)])
        files = kept(folder)
        for number in range(cuts):
            log = files[FILES[1]]
            cut = {FILES[0]: files[FILES[0]], FILES[1]: log[: chance.randrange(32, len(log))]}
            try:
                numbers, sound = opened(cut, place)
            except RecordError as error:
                wrong.append(f"cut {number}: {type(error).__name__}: {error}")
                continue
            if numbers != list(range(1, len(numbers) + 1)) or not sound:
                wrong.append(f"cut {number}: a mixture is left")
            most = max(most, 60 - len(numbers))
        journal.close()
    return wrong, most


def main() -> int:
    """Both."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    wrong = power_cuts(count, 41)
    lied, most = lies(count, 42)
    print(f"{count} power cuts, one in every append: {len(wrong)} wrong")
    print(
        f"{count} cuts into what a lying drive had called written: {len(lied)} mixtures, up to {most} of 60 events lost"
    )
    print("\n".join([*wrong, *lied][:20]))
    return 1 if wrong or lied else 0


if __name__ == "__main__":
    sys.exit(main())
