"""A folder in memory, where syncing costs nothing. What is durable is tried by what lies in the files (tests/endurance/power.py), not
by a disk."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

_SHARED = Path("/dev/shm")
#: What a whole run takes there, in bytes.
_ROOM = 2 << 30


def _usable() -> bool:
    """Whether there is such a folder with room enough, in which what is installed can be run, too."""
    if not os.access(_SHARED, os.W_OK) or shutil.disk_usage(_SHARED).free <= _ROOM:
        return False
    return not os.statvfs(_SHARED).f_flag & os.ST_NOEXEC


#: The folder; None where the system has none.
MEMORY = _SHARED if _usable() else None
