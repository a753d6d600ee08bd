"""What tells rows apart that are called alike."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.foundation.language import tr


def told_apart(rows: Sequence[Sequence[str]]) -> tuple[str, ...]:
    """For each row, "" where nothing else begins with its first words; else the first of its others that no row called
    like it has, or, where they are alike throughout, which of them it is."""
    return tuple(_what_tells(rows, n) for n in range(len(rows)))


def _what_tells(rows: Sequence[Sequence[str]], number: int) -> str:
    own = rows[number]
    alike = [n for n, row in enumerate(rows) if row[0].casefold() == own[0].casefold()]
    if len(alike) == 1:
        return ""
    for column in range(1, len(own)):
        others = {rows[n][column] for n in alike if n != number and column < len(rows[n])}
        if own[column] and own[column] not in others:
            return own[column]
    place = alike.index(number) + 1
    return tr("number {place}", place=place)
