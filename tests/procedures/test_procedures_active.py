"""A share written as what of a material is active: what is weighed, named and held against the law follows from it."""

from __future__ import annotations

import pytest
from procedure_edits import edited

from benchapp.make.law import limit_lines
from procedures.errors import ProcedureInvalid
from procedures.reading import read_text


def lotion(name, share, strength, *, as_made=False):
    """The shipped lotion with one ingredient's share written as what of it is active."""

    def change(text):
        start = text.index(f'[[formula.ingredient]]\nname = "{name}"')
        end = text.index("[[", start + 2)
        block = [x for x in text[start:end].splitlines(keepends=True) if not x.startswith("percent = ")]
        return (
            text[:start]
            + "".join(block).rstrip()
            + f'\npercent = "{share}"\nactive = "{strength}"\n\n'
            + text[end:]
        )

    return read_text(edited("oat-hand-lotion", change), as_made=as_made).procedure


def test_what_is_weighed_is_the_material_itself():
    procedure = lotion("Panthenol solution", "0.75 % active", "75 %")
    (line,) = (x for x in procedure.formula.lines if x.key == "panthenol-solution")
    # By hand: 0.75 g of panthenol are in 1 g of a solution of 75 %.
    assert line.percent == 1.0
    assert sum(x.percent for x in procedure.formula.lines if x.cap_percent is None) == pytest.approx(100.0)


def test_a_ceiling_is_held_against_what_is_in_the_solution():
    # Regulation (EC) No 1223/2009, Annex V, entry 29: phenoxyethanol 1.0 %. 1.1 % as active is above it, however it is bought.
    over = lotion("Preservative blend", "1.1 % active", "62 %", as_made=True)
    under = lotion("Preservative blend", "0.6 % active", "62 %", as_made=True)
    found = [next(x for x in limit_lines(p) if x.startswith("Phenoxyethanol")) for p in (over, under)]
    assert "ABOVE 1 % (Annex V 29" in found[0]
    assert "within 1 % (Annex V 29" in found[1]


@pytest.mark.parametrize("share", ["1 % actives", "active", "1,5 % active", "-1 % active", "1e2 % active"])
def test_what_is_no_such_share_is_refused(share):
    with pytest.raises(ProcedureInvalid, match="is no share of the formula"):
        lotion("Panthenol solution", share, "75 %")


def test_nothing_of_what_is_active_is_nothing():
    with pytest.raises(ProcedureInvalid, match="0 %"):
        lotion("Panthenol solution", "0 % active", "75 %")
