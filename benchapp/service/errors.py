"""Why a command stopped: one sentence each, and an exit code that another program can act on.

CommandError             exit 3: what was given cannot be used (procedure, size, bench file, batch)
└── LeftUnfinished       exit 5: the make stands where it stood; benchapp resume goes on
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterator

from benchapp.foundation.language import tr

#: All exit codes. 2 is argparse's own, for a command line that cannot be read.
DONE, REFUSED, ABANDONED, UNFINISHED, NO_RECORD, ATTENTION = 0, 3, 4, 5, 6, 7


class CommandError(Exception):
    """What was given cannot be used."""

    code = REFUSED


class LeftUnfinished(CommandError):
    """The make is not over."""

    code = UNFINISHED


@contextlib.contextmanager
def on_disk() -> Iterator[None]:
    """Where something beside the journal is kept: CommandError with the file and the reason where the disk refuses."""
    try:
        yield
    except OSError as error:
        raise CommandError(
            tr(
                "{filename} cannot be written ({strerror}). Make room on its disk, or bring it back; what was kept before is there.",
                filename=error.filename,
                strerror=error.strerror,
            )
        ) from error
