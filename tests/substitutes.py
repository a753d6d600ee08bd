"""A shelf of materials of the invented workshop, for the tests that replace an ingredient."""

from __future__ import annotations

from pathlib import Path

SHELF = """
[[material]]
name = "Rapeseed oil"
inci = "Brassica Campestris Seed Oil"
role = "oil"
density = "0.92 g/ml"
sheet_revised = 2025-01-10

[[material]]
name = "Tallow-like wax"
inci = "Rhus Verniciflua Peel Cera"
role = "wax"
melts = "80 degC"
sheet_revised = 2025-01-10

[[material]]
name = "Strong preservative"
role = "preservative"
composition = [{ inci = "Phenoxyethanol", percent = [100, 100] }]
statements = ["H302", "H318"]
signal_word = "Danger"
sheet_revised = 2025-01-10
ph_window = [3.0, 10.0]
below = "45 degC"
use_least = "0.5 %"

[[material]]
name = "Sour preservative"
role = "preservative"
composition = [{ inci = "Benzyl Alcohol", percent = [100, 100] }]
statements = ["H302"]
signal_word = "Warning"
sheet_revised = 2025-01-10
ph_window = [2.0, 4.0]
below = "45 degC"
use_least = "0.5 %"

[[material]]
name = "Stinging oil"
inci = "Mentha Piperita Oil"
role = "oil"
statements = ["H318"]
signal_word = "Danger"
sheet_revised = 2025-01-10
"""


def keep_a_shelf(folder: Path) -> None:
    """In the workshop's folder."""
    (folder / "materials.toml").write_text(SHELF, encoding="utf-8")
