"""Which signs the typeface of glass and paper can draw: Latin, Greek and Cyrillic letters and what goes with them.

For all others it draws an empty box, so whoever types one is told at once. A test holds this against the typeface.
"""

from __future__ import annotations

#: Numbers of signs (Unicode), from and to, as the typeface's own table has them.
_RANGES = (
    "20-7e a0-ac ae-17f 192 1a0-1a1 1af-1b0 1f0 1fa-1ff 218-21b 237 259 2bc 2c6-2c7 2c9 2d8-2dd 2f3 300-301 303 309 "
    "30f 323 384-38a 38c 38e-3a1 3a3-3ce 3d1-3d2 3d6 400-486 488-513 1e00-1e01 1e3e-1e3f 1e80-1e85 1ea0-1ef9 1f4d "
    "2000-200a 2013-2015 2017-201e 2020-2022 2025-2026 2030 2032-2033 2039-203a 203c 2044 2074 207f 20a3-20a4 20a7 "
    "20ab-20ac 2105 2113 2116 2122 2126 212e 215b-215e 2202 2206 220f 2211-2212 221a 221e 222b 2248 2260 2264-2265 "
    "25ca "
)
DRAWN = frozenset(
    n for low, _, high in (part.partition("-") for part in _RANGES.split())
    for n in range(int(low, 16), int(high or low, 16) + 1)
)  # fmt: skip


def undrawn(text: str) -> str:
    """The signs of a text that would be an empty box, each once; ends of lines and tabs are none."""
    return "".join(dict.fromkeys(c for c in text if ord(c) not in DRAWN and c not in "\n\t"))
