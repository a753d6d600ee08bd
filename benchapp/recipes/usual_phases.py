"""Into which phase a material usually goes, by its role. Common practice, no source: a suggestion, changed by a touch."""

from __future__ import annotations

USUAL_PHASE = {
    "water": "water", "humectant": "water", "chelator": "water", "gum": "gum", "oil": "oil", "butter": "oil", "wax": "oil",
    "emulsifier": "oil", "thickener": "oil", "conditioner": "oil", "preservative": "cool-down", "active": "cool-down",
    "antioxidant": "cool-down", "fragrance": "cool-down", "colour": "cool-down", "acid": "pH", "base": "pH", "other": "water",
}  # fmt: skip


def usual_phase(role: object) -> str:
    """The phase for a role; what has none goes with the water."""
    return USUAL_PHASE.get(str(role), "water")
