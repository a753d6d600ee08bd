"""PINs: kept as scrypt hashes (RFC 7914), compared in constant time, slowed down after wrong ones.

What a short PIN doesn't protect against stands in docs/people-and-release.md: whoever has the file can try all
10 000 four-digit PINs at leisure. It tells colleagues at one bench apart; it is no lock against a thief.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import hmac
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from benchapp.foundation.language import tr

#: Work of one try: N, r and p of RFC 7914. 16 MB and about 50 ms on a small bench computer.
COST, BLOCK, PARALLEL = 2**14, 8, 1
SALT_BYTES, HASH_BYTES = 16, 32
#: More memory than this is not spent on a hash, whatever its parameters say.
MOST_MEMORY = 256 * 2**20
#: Wrong PINs in a row before there is a wait, the first wait, and the longest, in seconds.
FREE_TRIES, FIRST_WAIT_S, LONGEST_WAIT_S = 3, 30.0, 900.0

_FORM = re.compile(r"scrypt\$n=(\d{1,8}),r=(\d{1,3}),p=(\d{1,3})\$([A-Za-z0-9+/=]+)\$([A-Za-z0-9+/=]+)")


def problem_with(pin: str) -> str:
    """ "" or why this cannot be a PIN."""
    if not re.fullmatch(r"[0-9]{4,12}", pin):
        return tr("A PIN is 4 to 12 digits.")
    if len(set(pin)) == 1 or pin in "0123456789012345" or pin in "9876543210987654":
        return tr("That PIN is the first anybody would try. Take another.")
    return ""


def hashed(pin: str, salt: Callable[[int], bytes]) -> str:
    """The PIN as it is kept. ``salt(n)`` gives n random bytes. Raises ValueError where it cannot be a PIN."""
    if problem_with(pin):
        raise ValueError(problem_with(pin))
    grain = salt(SALT_BYTES)
    digest = derived(pin, grain, COST, BLOCK, PARALLEL)
    parts = (base64.b64encode(part).decode() for part in (grain, digest))
    return f"scrypt$n={COST},r={BLOCK},p={PARALLEL}${'$'.join(parts)}"


def derived(pin: str, salt: bytes, cost: int, block: int, parallel: int) -> bytes:
    """scrypt (RFC 7914) to HASH_BYTES bytes. Raises ValueError for parameters out of reach."""
    return hashlib.scrypt(
        pin.encode(), salt=salt, n=cost, r=block, p=parallel, dklen=HASH_BYTES, maxmem=MOST_MEMORY
    )


def fits(pin: str, kept: str) -> bool:
    """Whether it is that PIN. Raises ValueError when what was kept is no such hash."""
    match = _FORM.fullmatch(kept)
    if match is None:
        raise ValueError(tr("A PIN in the journal is not kept in the form this version knows."))
    cost, block, parallel = (int(match[n]) for n in (1, 2, 3))
    try:
        salt, digest = (base64.b64decode(match[n], validate=True) for n in (4, 5))
    except binascii.Error as error:
        raise ValueError(tr("A PIN in the journal is not kept in the form this version knows.")) from error
    return hmac.compare_digest(derived(pin, salt, cost, block, parallel), digest)


def wait_after_s(times: int) -> float:
    """Seconds to wait after so many wrong PINs in a row: none before the third, then 30, 60, … up to 900."""
    if times < FREE_TRIES:
        return 0.0
    return min(FIRST_WAIT_S * 2.0 ** min(times - FREE_TRIES, 10), LONGEST_WAIT_S)


@dataclass(frozen=True, slots=True)
class WrongPin:
    """A try that was wrong: when by the wall's clock (ISO), which in a row, and how many seconds the computer had
    been running (0 where an older version wrote it)."""

    wall: str
    times: int
    running_s: float


def still_to_wait_s(last: WrongPin | None, now: str, running_s: float) -> float:
    """Seconds until the next try is listened to, after the ``last`` wrong PIN since a right one.

    Whoever sets the wall's clock forward does not end the wait: what the computer has been running since then, or
    since it was started anew, has passed for certain, and the shorter of the two counts. A wall's clock that was
    set back says nothing; then the computer's own alone counts.
    """
    if last is None:
        return 0.0
    by_wall_s = (datetime.fromisoformat(now) - datetime.fromisoformat(last.wall)) / timedelta(seconds=1)
    restarted = running_s < last.running_s
    by_running_s = running_s if restarted else running_s - last.running_s
    if last.running_s <= 0:
        gone_s = max(by_wall_s, 0.0)
    else:
        gone_s = by_running_s if by_wall_s < 0 else min(by_wall_s, by_running_s)
    return max(wait_after_s(last.times) - gone_s, 0.0)
