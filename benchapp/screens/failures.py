"""Where a mishap on the glass lands: on a quiet page with one sentence, never in the dark."""

from __future__ import annotations

import logging
from collections.abc import Callable

from kivy.base import ExceptionHandler, ExceptionManager

from benchapp.foundation.language import tr

LOG = logging.getLogger("benchapp")


class FailureHandler(ExceptionHandler):
    """An exception in a callback of ours ends on a safe page; one that says what to do, says it there."""

    def __init__(self, safe: Callable[[str, str], None]) -> None:
        """``safe`` is given a title and a sentence."""
        super().__init__()
        self._safe = safe

    def handle_exception(self, exception: BaseException) -> int:
        """Write it down, show the page, go on. Leaving the program is no mishap."""
        if not isinstance(exception, Exception):
            return int(ExceptionManager.RAISE)
        if expected(exception):
            self._safe(tr("That cannot be done now."), str(exception))
            return int(ExceptionManager.PASS)
        LOG.error(tr("a callback failed"), exc_info=exception)
        name = type(exception).__name__
        self._safe(
            tr("The batch is saved."),
            tr("Something in the display failed ({name}). Nothing recorded is lost.", name=name),
        )
        return int(ExceptionManager.PASS)


def expected(exception: Exception) -> bool:
    """Whether its text is a sentence for a maker: the errors of our own rooms."""
    from benchapp.record.errors import RecordError
    from benchapp.service.errors import CommandError
    from drivers.errors import DriverError
    from procedures.errors import ProcedureError

    return isinstance(exception, (CommandError, RecordError, DriverError, ProcedureError))
