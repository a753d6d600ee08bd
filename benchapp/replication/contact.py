"""How a bench stands to its workshop, in one sentence."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Contact:
    """``sent``: the last own event the server has; ``as_of``: the wall time up to which everything of the others is here;
    ``offline_since``: the wall time from which the server could not be asked, "" while it can, and ``why``. ``refused``:
    chains that are not what they were, a sentence each."""

    sent: int = 0
    as_of: str = ""
    offline_since: str = ""
    why: str = ""
    refused: tuple[str, ...] = ()

    def sentence(self, own: int, now: str) -> str:
        """What the bench page says, where the journal has ``own`` events and the wall's clock shows ``now``."""
        sent = (
            f"everything up to event {own} is sent"
            if self.sent >= own
            else f"{own - self.sent} of {own} events wait to be sent"
        )
        known = (
            f"the others as of {_when(self.as_of, now)}"
            if self.as_of
            else "nothing is known of the others yet"
        )
        said = f"Workshop: {sent}; {known}."
        if self.offline_since:
            said += f" Offline since {_when(self.offline_since, now)}."
        return " ".join((said, *self.refused))

    def explained(self, own: int, now: str) -> str:
        """The same, and why the server cannot be asked."""
        return (
            f"{self.sentence(own, now)} {self.why}".rstrip()
            if self.offline_since
            else self.sentence(own, now)
        )


def _when(wall: str, now: str) -> str:
    """The time of today, with its date on another day."""
    day, _, time = wall[:16].partition("T")
    return time if day == now[:10] else f"{day} {time}"
