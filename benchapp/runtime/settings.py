"""Where the program keeps its things on this machine, and what it remembers between two starts."""

from __future__ import annotations

import json
import os
import stat
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import TYPE_CHECKING, Any

from platformdirs import user_config_path, user_data_path

from benchapp.calculations.hot_bath import BATHS, BathKept
from benchapp.foundation.language import SOURCE
from benchapp.foundation.text_files import replace_text_file
from benchapp.make.guidance_levels import LEVELS, Level

if TYPE_CHECKING:
    from benchapp.record.heads import HeadFile

#: The folder of a workshop's own scenarios, in the data folder.
OWN_SCENARIOS = "scenarios"
#: The folders of its own procedures, and of the recipes that are being written, likewise.
OWN_PROCEDURES, DRAFTS = "procedures", "drafts"
#: Where spreadsheets are put to be brought in on the glass, and written to be printed.
SHEETS = "sheets"
#: How the names of what is nobody else's end: the journal and what SQLite keeps beside it, settings, exports.
PRIVATE = (".sqlite", ".sqlite-wal", ".sqlite-shm", ".json", ".jsonl", ".pdf", ".csv")
#: Where the choices of the settings page are kept, in the data folder.
PREFERENCES = "preferences.json"
#: Between what a bath's dial may be set, in °C.
DIAL_C = (30.0, 100.0)
#: Where copies of the journal go, in the data folder.
BACKUPS = "backups.json"
#: Which bench file was used last, in the data folder.
LAST_BENCH = "last-bench.json"
#: Where the server of a workshop of several benches is, in the data folder.
SERVER = "workshop.json"


@dataclass(frozen=True, slots=True)
class Preferences:
    """What a maker chose on the settings page. Only what is shown, heard and forecast: the record keeps °C and grams."""

    large_text: bool = False
    left_handed: bool = False
    dim: bool = False  # a dark ground, for a dim room
    comma: bool = False  # 12,5 instead of 12.5
    fahrenheit: bool = False
    kilograms: bool = False  # from 1,000 g on
    sound: bool = True
    volume: int = 70  # percent
    guidance: Level = "normal"
    pedal_key: str = (
        ""  # one more key a foot switch types, beside page down and F13: its name on the keyboard
    )
    language: str = SOURCE  # of the glass, the terminal and the voice: the code of a catalogue
    record_language: str = SOURCE  # of what is written down: a helper may read another one
    bath: BathKept = "not known"  # what heats the bench's water bath
    bath_c: float = 80.0  # what its dial says, where it is a thermostat


def preferences_in(folder: Path) -> Preferences:
    """What was chosen here; whatever is missing or cannot be read (a power cut) stands as it comes."""
    known = _readable(folder / PREFERENCES)
    kept: dict[str, Any] = {
        f.name: known[f.name] for f in fields(Preferences) if type(known.get(f.name)) is type(f.default)
    }
    kept["volume"] = min(max(kept.get("volume", Preferences().volume), 0), 100)
    if kept.get("guidance") not in LEVELS:
        kept.pop("guidance", None)
    if kept.get("bath") not in BATHS:
        kept.pop("bath", None)
    kept["bath_c"] = min(max(kept.get("bath_c", Preferences().bath_c), DIAL_C[0]), DIAL_C[1])
    return Preferences(**kept)


def keep_preferences(folder: Path, chosen: Preferences) -> None:
    """Write them down whole: another file first, then in its place. Raises OSError where that is impossible."""
    _remember(folder / PREFERENCES, asdict(chosen))


@dataclass(frozen=True, slots=True)
class BackupPlan:
    """Where copies of the journal go by themselves, and how many of the newest stay."""

    folder: str
    keep: int


def backup_plan_in(folder: Path) -> BackupPlan | None:
    """The plan of this data folder; None where there is none, or half a file. Raises OSError where it is out of reach."""
    known = _remembered(folder / BACKUPS)
    where, keep = known.get("folder"), known.get("keep")
    if not isinstance(where, str) or type(keep) is not int or keep < 1:
        return None
    return BackupPlan(where, keep)


def keep_backup_plan(folder: Path, plan: BackupPlan | None) -> None:
    """Write it down whole; None: there is none any more. Raises OSError."""
    if plan is None:
        (folder / BACKUPS).unlink(missing_ok=True)
    else:
        _remember(folder / BACKUPS, asdict(plan))


def server_in(folder: Path) -> str:
    """The address of the workshop's server, as it was given; "" on a bench that is alone. Raises OSError where it is out of reach."""
    given = _remembered(folder / SERVER).get("server")
    return given if isinstance(given, str) else ""


def keep_server(folder: Path, address: str) -> None:
    """Write it down whole; "": there is none any more. Raises OSError."""
    if address:
        _remember(folder / SERVER, {"server": address})
    else:
        (folder / SERVER).unlink(missing_ok=True)


def same_disk(one: Path, other: Path) -> bool:
    """Whether two folders that are there lie on one disk, as far as the system tells. Raises OSError."""
    return one.stat().st_dev == other.stat().st_dev


def _remembered(place: Path) -> dict[str, object]:
    """What a settings file holds; nothing where it is missing, or half a file after a power cut. Raises OSError."""
    if not place.is_file():
        return {}
    try:
        known = json.loads(place.read_text(encoding="utf-8"))
    except ValueError:
        return {}
    return known if isinstance(known, dict) else {}


def _readable(place: Path) -> dict[str, object]:
    """The same where nothing hangs on it but how things look: nothing, too, where the disk or its rights refuse."""
    try:
        return _remembered(place)
    except OSError:
        return {}


def _remember(place: Path, what: dict[str, object]) -> None:
    """Whole: another file first, then in its place. Raises OSError."""
    replace_text_file(place, json.dumps(what, indent=1))


def data_folder(given: str | None) -> Path:
    """The folder named with --data, or the system's usual place for a program's data."""
    return Path(given).expanduser() if given else user_data_path("benchapp", appauthor=False)


def head_file() -> HeadFile:
    """The heads of every journal that was opened here: in the system's place for settings, so that whoever moves or
    replaces a data folder leaves them behind."""
    from benchapp.record.heads import HEADS, HeadFile  # the first frame does not wait for the database

    return HeadFile(user_config_path("benchapp", appauthor=False) / HEADS)


def open_to_others(folder: Path) -> tuple[Path, ...]:
    """What in a data folder others on this machine may read or write, itself and the heads included: an older version
    made it so. Nothing on a system that keeps rights otherwise. Raises OSError."""
    if os.name != "posix" or not folder.is_dir():
        return ()
    kept = (p for p in sorted(folder.iterdir()) if p.suffix in PRIVATE)
    files = (p for p in (*kept, head_file().path) if _file_rights(p) & 0o077)
    return (*((folder,) if folder.stat().st_mode & 0o077 else ()), *files)


def _file_rights(place: Path) -> int:
    """Those of a plain file; none where it is something else, or there no more: SQLite takes away what it keeps beside a
    journal as soon as the last program lets go of it. Raises OSError."""
    try:
        mode = place.lstat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        return 0
    return stat.S_IMODE(mode) if stat.S_ISREG(mode) else 0


def close_to_others(folder: Path) -> None:
    """Take from others on this machine what ``open_to_others`` finds. Raises OSError."""
    for place in open_to_others(folder):
        place.chmod(stat.S_IMODE(place.stat().st_mode) & ~0o077)


def remember_bench(folder: Path, bench: Path) -> None:
    """Keep which bench file was used last, so that an unfinished make finds its devices again. Raises OSError."""
    if last_bench(folder) != bench.resolve():  # a full disk is no reason not to go on with a make
        _remember(folder / LAST_BENCH, {"bench": str(bench.resolve())})


def last_bench(folder: Path) -> Path | None:
    """The bench file used last in this folder, None when there is none."""
    bench = _readable(folder / LAST_BENCH).get("bench")
    return Path(bench) if isinstance(bench, str) else None
