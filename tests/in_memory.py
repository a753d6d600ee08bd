"""A folder in memory, where syncing costs nothing. What is durable is tried by what lies in the files (tests/endurance/power.py), not
by a disk."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

_SHARED = Path("/dev/shm")
#: What a whole run takes there, in bytes.
_ROOM = 2 << 30
#: The folder; None where the system has none with room enough.
MEMORY = _SHARED if os.access(_SHARED, os.W_OK) and shutil.disk_usage(_SHARED).free > _ROOM else None
