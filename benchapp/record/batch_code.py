"""The short code of a batch, as it stands on a container: at most 20 characters any scanner and any hand can take."""

from __future__ import annotations

import hashlib
import re

#: What AI (10) of the GS1 General Specifications may hold: 1 to 20 characters of set 82 (from memory).
LONGEST = 20
SET_82 = frozenset("!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz")
#: No I, L, O, U: nothing that is misread for a digit or spells a word (common practice, no source).
_ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


def batch_code(batch: str) -> str:
    """The batch's own name where it is short enough and every scanner knows its signs, else a code derived from it.

    The derived code is the first six digits of its day and eight characters (40 bits) of its SHA-256, so the same
    batch always has the same code, and the code can be found again by deriving it from each batch of that day.
    """
    if 0 < len(batch) <= LONGEST and set(batch) <= SET_82:
        return batch
    day = re.match(r"20(\d{6})", batch)
    bits = int.from_bytes(hashlib.sha256(batch.encode()).digest()[:5], "big")
    letters = "".join(_ALPHABET[bits >> 5 * i & 31] for i in reversed(range(8)))
    return f"{day[1]}-{letters}" if day else letters
