"""GS1 element strings for a label: article number, best-before date, batch (GS1 General Specifications, AI 01, 15, 10)."""

from __future__ import annotations

from datetime import date

from benchapp.foundation.language import tr
from benchapp.record.batch_code import LONGEST, SET_82


def check_digit(digits: str) -> int:
    """The last digit of a GTIN, from the digits before it: weights 3, 1, 3, … from the right, up to the next ten
    (GS1 General Specifications 7.9)."""
    total = sum(int(d) * (3 if i % 2 == 0 else 1) for i, d in enumerate(reversed(digits)))
    return -total % 10


def gtin_14(text: str) -> str:
    """A GTIN of 8, 12, 13 or 14 digits as 14 digits. Raises ValueError with what is wrong and what to do."""
    digits = text.replace(" ", "")
    if not (digits.isascii() and digits.isdigit()) or len(digits) not in (8, 12, 13, 14):
        raise ValueError(
            tr("{text!r} is no GTIN; give its 8, 12, 13 or 14 digits as they were licensed to you", text=text)
        )
    wanted = check_digit(digits[:-1])
    if int(digits[-1]) != wanted:
        raise ValueError(
            tr(
                "The GTIN {text} ends in {digits} where its check digit is {wanted}; copy it again",
                text=text,
                digits=digits[-1],
                wanted=wanted,
            )
        )
    return digits.zfill(14)


def element_string(gtin: str, batch_code: str, best_before: date | None) -> str:
    """Identifiers in brackets, as an encoder wants them: 01, then 15 where there is a date, then 10.

    The batch stands last, so that its free length needs no separator. Raises ValueError for a GTIN or a batch
    code that cannot stand there.
    """
    if not 0 < len(batch_code) <= LONGEST or not set(batch_code) <= SET_82:
        raise ValueError(
            tr(
                "{batch_code!r} cannot stand in a code: 1 to {longest} letters, digits and a few signs",
                batch_code=batch_code,
                longest=LONGEST,
            )
        )
    if "(" in batch_code or ")" in batch_code:
        raise ValueError(tr("{batch_code!r} has a bracket, which an encoder would misread; name the batch "
                            "otherwise", batch_code=batch_code))  # fmt: skip
    dated = f"(15){best_before:%y%m%d}" if best_before is not None else ""
    return f"(01){gtin_14(gtin)}{dated}(10){batch_code}"


def bare(element: str) -> str:
    """The element string as a scanner hands it on: without brackets."""
    return element.replace("(", "").replace(")", "")
