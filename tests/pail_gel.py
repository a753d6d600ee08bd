"""The shipped gel in 10 kg: its water weighed straight into four pails that the scale carries, all of them poured into a
kettle that it does not."""

from __future__ import annotations

from procedure_edits import edited

from procedures.model import Procedure
from procedures.reading import read_text

IN_PAILS = (
    ('usual = "500 g"', 'usual = "10 kg"'), ('smallest = "350 g"', 'smallest = "9 kg"'), ('largest = "800 g"', 'largest = "10 kg"'),
    ('name = "gel pot"\nphase = "water"\ncapacity = "1200 ml"\ndiameter = "100 mm"\nempty = "380 g"',
     'name = "pail"\nphase = "water"\ncapacity = "3 l"\nempty = "300 g"\nkettles = 4\n\n'
     '[[vessel]]\nname = "gel pot"\ncapacity = "15 l"\ndiameter = "250 mm"\nempty = "1900 g"'),
    ('name = "slurry beaker"\nphase = "gum slurry"\ncapacity = "150 ml"', 'name = "slurry beaker"\nphase = "gum slurry"\ncapacity = "1500 ml"'),
    ('name = "alcohol beaker"\nphase = "alcohol"\ncapacity = "150 ml"', 'name = "alcohol beaker"\nphase = "alcohol"\ncapacity = "1500 ml"'),
    ('[[step]]\nkind = "weigh"\ntitle = "Weigh glycerin and gums"',
     '[[step]]\nkind = "combine"\ntitle = "Pour the pail into the kettle"\npour = "pail"\ninto = "gel pot"\n\n'
     '[[step]]\nkind = "weigh"\ntitle = "Weigh glycerin and gums"'),
    ('content = "100 ml"', 'content = "1 l"\ncount = 2'),
    lambda text: text.replace('scale = "fine"\n', ""),
)  # fmt: skip


def pail_gel() -> Procedure:
    """As it is read."""
    return read_text(edited("tide-pool-gel", *IN_PAILS), "pail-gel.toml").procedure
