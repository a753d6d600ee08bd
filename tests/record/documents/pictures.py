"""Pictures of the printed record and label for the docs. Run by hand: ``python tests/record/documents/pictures.py``"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from invented_batch import after, lotion, record
from paper import picture_of, text_of

from benchapp.record.documents.as_pdf import as_pdf
from benchapp.record.documents.label_pdf import LabelledBatch, labels_pdf
from benchapp.record.label import label_of
from benchapp.service.procedure_facts import procedure_facts

FOLDER = Path(__file__).parents[3] / "docs" / "screens"


def main() -> None:
    """First page, the page with the curve, and a label."""
    pdf = as_pdf(record(*after()), "0123456789abcdef" * 4)
    curve = next(n for n, page in enumerate(text_of(pdf), 1) if "limits of the step" in page)
    label = replace(
        label_of(procedure_facts(lotion()))[0], durability_months=24,
        responsible=("Low Tide Bench (invented)", "1 Harbour Row, Saltmarsh"), cautions=("For external use only.",),
    )  # fmt: skip
    printed = labels_pdf(label, LabelledBatch("260302-NAPFEFM5", date(2026, 3, 2)), [1], (60, 90))
    for name, source, page, dots in (
        ("record-page-1", pdf, 1, 90), ("record-curve", pdf, curve, 90), ("label", printed, 1, 150),
    ):  # fmt: skip
        picture_of(source, page, dots).save(FOLDER / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()
