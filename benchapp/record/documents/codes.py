"""Two-dimensional codes as black squares: a plain QR code, or a GS1 Data Matrix."""

from __future__ import annotations

from reportlab.platypus import Flowable
from zxingcpp import BarcodeFormat, create_barcode

Cells = tuple[tuple[bool, ...], ...]
#: Clear cells around a code: QR 4 (ISO/IEC 18004), Data Matrix 1 (ISO/IEC 16022); both from memory.
QUIET = {"qr": 4, "matrix": 1}


def qr_cells(text: str) -> Cells:
    """A QR code of a text, error correction M; True is dark."""
    return _cells(create_barcode(text, BarcodeFormat.QRCode, ec_level="M"))


def gs1_matrix_cells(element_string: str) -> Cells:
    """A GS1 Data Matrix of an element string with its identifiers in brackets, "(01)0950…(10)AB"."""
    return _cells(create_barcode(element_string, BarcodeFormat.DataMatrix, gs1=True))


def _cells(barcode: object) -> Cells:
    view = memoryview(barcode.to_image(scale=1, add_quiet_zones=False))  # type: ignore[attr-defined]
    rows, columns = view.shape or (0, 0)
    return tuple(tuple(view[r, c] == 0 for c in range(columns)) for r in range(rows))


class Code(Flowable):  # type: ignore[misc]
    """A code ``side_pt`` points wide, its quiet zone included."""

    def __init__(self, cells: Cells, side_pt: float, quiet: int) -> None:
        super().__init__()
        self.cells, self.quiet = cells, quiet
        self.width = self.height = side_pt

    def draw(self) -> None:
        """Dark cells, neighbours in a row as one bar so that no seam shows."""
        count = len(self.cells) + 2 * self.quiet
        one = self.width / count
        self.canv.setFillGray(0)
        for r, row in enumerate(self.cells):
            y = self.height - (r + self.quiet + 1) * one
            start = None
            for c, dark in enumerate((*row, False)):
                if dark and start is None:
                    start = c
                if not dark and start is not None:
                    self.canv.rect(
                        (start + self.quiet) * one, y, (c - start) * one, one * 1.01, stroke=0, fill=1
                    )
                    start = None
