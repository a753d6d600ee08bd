"""Disks that can be carried away: sticks and cards that are plugged in and mounted just now."""

from __future__ import annotations

import shutil
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

#: Below these, systems mount what was plugged in (the file system hierarchy standard 3.0, 3.11, for /media; the others
#: are common practice, from memory).
_MOUNTED_BELOW = ("/media", "/run/media", "/Volumes")


class Partition(Protocol):
    """What psutil says of one."""

    @property
    def mountpoint(self) -> str:
        """Where it is mounted."""

    @property
    def opts(self) -> str:
        """How, words between commas."""


@dataclass(frozen=True, slots=True)
class Disk:
    """One: its name for a person, where it is mounted, and its free space in GB."""

    name: str
    folder: Path
    free_gb: float


def plugged_in() -> tuple[Disk, ...]:
    """Those of this machine that can be written to. One that is pulled while it is looked at is left out."""
    import psutil

    return disks_among(psutil.disk_partitions(all=False))


def disks_among(partitions: Iterable[Partition]) -> tuple[Disk, ...]:
    """Those among all partitions that can be carried away and written to, by name."""
    found = []
    for one in partitions:
        options = one.opts.split(",")
        folder = Path(one.mountpoint)
        if "ro" in options or not ("removable" in options or _below(folder)):
            continue
        try:
            free_gb = shutil.disk_usage(folder).free / 1e9
        except OSError:
            continue  # pulled out meanwhile
        found.append(Disk(folder.name or one.mountpoint, folder, free_gb))
    return tuple(sorted(found, key=lambda disk: disk.name))


def _below(folder: Path) -> bool:
    return any(folder != Path(above) and folder.is_relative_to(above) for above in _MOUNTED_BELOW)
