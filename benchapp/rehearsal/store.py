"""Made-up lots for a rehearsal: every material on the shelf, and for some scenarios a wrong one in hand."""

from __future__ import annotations

from benchapp.foundation.language import tr, tr_noop
from benchapp.make.inputs import LotOnHand
from procedures.model import Procedure

#: So much of everything stands on the invented shelf, in grams.
ON_SHELF_G = 5000.0
INVENTED = tr_noop("invented for the rehearsal")


def invented_lots(procedure: Procedure, expired: tuple[str, ...] = ()) -> tuple[LotOnHand, ...]:
    """One usable lot of each material, and before it an expired one of those in ``expired``."""
    good = tuple(
        LotOnHand(f"R-{nth:02d}", m.key, f"{m.name}, {INVENTED}", ON_SHELF_G, code=f"R{nth:02d}")
        for nth, m in enumerate(procedure.materials.values(), 1)
    )
    return (*(expired_lot(procedure, key) for key in expired), *good)


def expired_lot(procedure: Procedure, material: str) -> LotOnHand:
    """A lot that may not be used any more."""
    name = procedure.materials[material].name
    why = tr(
        "Lot X-{material} of {name} expired on 2024-01-31 ({invented}).",
        material=material,
        name=name,
        invented=INVENTED,
    )
    return LotOnHand(
        f"X-{material}", material, f"{name}, {INVENTED}", 400.0, "2024-01-31", f"X{material}", why
    )
