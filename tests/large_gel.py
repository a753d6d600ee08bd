"""The shipped gel in 10 kg: a kettle that no bench scale carries, filled by a measuring jug."""

from __future__ import annotations

from procedure_edits import edited

from procedures.model import Procedure
from procedures.reading import read_text

LARGE = (
    ('usual = "500 g"', 'usual = "10 kg"'), ('smallest = "350 g"', 'smallest = "9 kg"'), ('largest = "800 g"', 'largest = "10 kg"'),
    ('capacity = "1200 ml"\ndiameter = "100 mm"\nempty = "380 g"',
     'capacity = "15 l"\ndiameter = "250 mm"\nempty = "1900 g"\n\n'
     '[[vessel]]\nname = "measuring jug"\ncapacity = "3 l"\nempty = "240 g"'),
    ('name = "slurry beaker"\nphase = "gum slurry"\ncapacity = "150 ml"', 'name = "slurry beaker"\nphase = "gum slurry"\ncapacity = "1500 ml"'),
    ('name = "alcohol beaker"\nphase = "alcohol"\ncapacity = "150 ml"', 'name = "alcohol beaker"\nphase = "alcohol"\ncapacity = "1500 ml"'),
    ('phase = "water"\nwhy', 'phase = "water"\njug = "measuring jug"\nwhy'),
    ('content = "100 ml"', 'content = "1 l"\ncount = 2'),
    lambda text: text.replace('scale = "fine"\n', ""),
)  # fmt: skip


def large_gel(*changes) -> Procedure:
    """With these changes too."""
    return read_text(edited("tide-pool-gel", *LARGE, *changes)).procedure
