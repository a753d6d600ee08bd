"""Where the program keeps its things on this machine, and what it remembers between two starts."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

from platformdirs import user_data_path


def data_folder(given: str | None) -> Path:
    """The folder named with --data, or the system's usual place for a program's data."""
    return Path(given).expanduser() if given else user_data_path("benchapp", appauthor=False)


def wall_now() -> str:
    """The wall clock as ISO 8601 with zone, to the millisecond."""
    return datetime.now().astimezone().isoformat(timespec="milliseconds")


def remember_bench(folder: Path, bench: Path) -> None:
    """Keep which bench file was used last, so that an unfinished make finds its devices again."""
    (folder / "last-bench.json").write_text(json.dumps({"bench": str(bench.resolve())}), encoding="utf-8")


def last_bench(folder: Path) -> Path | None:
    """The bench file used last in this folder, None when there is none."""
    place = folder / "last-bench.json"
    if not place.is_file():
        return None
    try:
        known = json.loads(place.read_text(encoding="utf-8"))
    except ValueError:
        return None  # half a file after a power cut: the same as never having been told
    return Path(known["bench"]) if isinstance(known, dict) and isinstance(known.get("bench"), str) else None
