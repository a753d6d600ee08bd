"""How a bench stands to its workshop, in a few sentences."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from benchapp.foundation.language import tr, tr_n
from benchapp.replication.chain_row import ChainHead
from benchapp.replication.member import MemberBench


@dataclass(frozen=True, slots=True)
class Contact:
    """``sent``: the last own event the server has; ``as_of``: the wall time up to which everything of the others is here;
    ``offline_since``: the wall time from which the server could not be asked, "" while it can, and ``why``, or what is wrong with the line all the same. ``refused``:
    chains that are not what they were, a sentence each."""

    sent: int = 0
    as_of: str = ""
    offline_since: str = ""
    why: str = ""
    refused: tuple[str, ...] = ()

    def sentence(self, own: int, now: str) -> str:
        """What the bench page says, where the journal has ``own`` events and the wall's clock shows ``now``."""
        if self._fresh(now) and self.sent >= own:
            said = [tr("This bench has sent and received everything.")]
        else:
            said = [self._sent(own, now), self.known(now)]
        if self.offline_since and self.sent >= own:
            said.append(tr("Offline since {when}.", when=_when(self.offline_since, now)))
        elif self.why and not self.offline_since:
            said.append(self.why)
        return " ".join((*said, *self.refused))

    def known(self, now: str) -> str:
        """Up to when everything of the others is here."""
        if not self.as_of:
            return tr("Nothing is known of the others yet.")
        if self._fresh(now):
            return tr("All that the server has of the others is shown.")
        return tr("The other benches are shown as of {when}.", when=_when(self.as_of, now))

    def _fresh(self, now: str) -> bool:
        """Whether everything was fetched within this minute."""
        return bool(self.as_of) and not self.offline_since and self.as_of[:16] == now[:16]

    def _sent(self, own: int, now: str) -> str:
        """How much of ``own`` events the server does not have, and since when it could not be asked."""
        waiting = own - self.sent
        if waiting <= 0:
            return tr("Everything is sent.")
        if not self.offline_since:
            return tr_n("One entry of this bench is not sent yet.", "{n} entries of this bench are not sent yet.", n=waiting)  # fmt: skip
        since = _when(self.offline_since, now)
        return tr_n(
            "One entry of this bench waits for the network since {when}.",
            "{n} entries of this bench wait for the network since {when}.",
            n=waiting, when=since,
        )  # fmt: skip

    def explained(self, own: int, now: str) -> str:
        """The same, up to which entry the server has everything, and why it cannot be asked."""
        said = [
            self.sentence(own, now),
            tr("The server has it up to entry {entry}.", entry=min(self.sent, own)),
        ]
        return " ".join((*said, self.why)).rstrip() if self.offline_since else " ".join(said)


def heard_of(member: MemberBench, head: ChainHead, now: str) -> str:
    """How much of a bench is here, how much more it has said there is, and when the server heard of it last."""
    here = head.seq - member.first + 1
    more = member.announced - here - member.first + 1
    said = tr("{bench} ({short}): {here} events are here", bench=member.bench, short=member.short, here=here)
    said += tr(", {more} more are to come", more=more) if more > 0 else ""
    if not member.heard:
        return tr("{said}; it never came.", said=said)
    heard = datetime.fromisoformat(member.heard).astimezone(datetime.fromisoformat(now).tzinfo)
    return tr("{said}; last heard of {when}.", said=said, when=_when(heard.isoformat(), now))


def _when(wall: str, now: str) -> str:
    """The time of today, with its date on another day."""
    day, _, time = wall[:16].partition("T")
    return time if day == now[:10] else f"{day} {time}"
