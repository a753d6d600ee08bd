"""A scale that stands in the machine of ``.ci/machine`` as long as it is on: an empty pan, ten lines a second, at a pty that PATH leads to.

python scale_at_a_pty.py PATH    with the standard library alone
"""

from __future__ import annotations

import contextlib
import os
import sys
import time
import tty
from pathlib import Path

LINE = b"ST,GS,+0000000.0,g\r\n"


def main() -> None:
    """Send until the machine goes off."""
    path = Path(sys.argv[1])
    master, slave = os.openpty()
    tty.setraw(slave)
    os.set_blocking(master, False)
    os.chmod(os.ttyname(slave), 0o666)
    path.unlink(missing_ok=True)
    path.symlink_to(os.ttyname(slave))
    while True:
        with contextlib.suppress(BlockingIOError):  # nobody reads
            os.write(master, LINE)
        time.sleep(0.1)


if __name__ == "__main__":
    main()
