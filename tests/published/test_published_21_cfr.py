"""21 CFR 211.188 and 11.50(a), item by item, on the printed record (section texts read in part; numbering from memory)."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "record" / "documents"))

from invented_batch import after, record
from paper import text_of

from benchapp.record.documents.as_pdf import as_pdf


@pytest.fixture(scope="module")
def printed() -> str:
    """The released batch as PDFium reads it."""
    return "\n".join(text_of(as_pdf(record(*after()))))


@pytest.mark.parametrize(
    ("item", "pattern"),
    [
        ("(a) the master as it stood", r"SHA-256 [0-9a-f]{64}"),
        ("(a) its own words", r"\[\[formula\.ingredient\]\]"),
        ("(b)(1) dates", r"Heat both phases together\s+2026-03-02 08:53:20"),
        ("(b)(2) equipment", r"bench scale\s+scale\s+mass\s+0\.1 g of 3000 g\s+2026-03-02 08:05:00"),
        ("(b)(3) component lots", r"LT-sunflowe\s+Sunflower oil\s+Saltmarsh Supply"),
        ("(b)(4) weights", r"Sunflower oil\s+oil pot\s+35\.0\s+34\.3 to 35\.7\s+35\.1 g"),
        ("(b)(5) in-process results", r"pH\s+5 to 5\.8\s+5\.48 pH\s+stated"),
        ("(b)(6) area inspected", r"Make the bench ready\s+Wash, rinse and dry pots and tools"),
        ("(b)(7) yield and percent of theoretical", r"product\s+472\.80 g[\s\S]*Theoretical 500 g; product is 94\.56 %"),
        ("(b)(8) labelling records", r"5 labels printed"),
        ("(b)(9) containers", r"Drawn from lot LT-bottles \(bottle-100\): 5 pieces, 1 spoiled"),
        ("(b)(10) sampling", r"sample \(pH\) out of water pot\s+10 g\s+stated"),
        ("(b)(11) persons", r"Mara Lind\s+made as recorded"),
        ("(b)(12) investigation", r"accepted by Ines Varga[\s\S]{0,200}no ceiling touched"),
        ("(b)(13) examination", r"pH after a day\s+Still within the limits\s+5\.51\s+passed"),
        ("11.50(a) name, time, meaning", r"Mara Lind\s+made as recorded\s+2026-03-02 11:29:50 \+01:00\s+own PIN"),
    ],
    ids=lambda x: x if x.startswith(("(", "11")) else "",
)  # fmt: skip
def test_the_item_stands_on_paper(printed, item, pattern):
    assert re.search(pattern, printed), item
