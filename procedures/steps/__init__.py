"""The kinds of step there are, one file each. A new kind is a file here, its acts in benchapp/make/steps, and one line below."""

from __future__ import annotations

from .add import Add, AddTable
from .base import Step
from .blend import Blend, BlendTable
from .clean_up import CleanUp, CleanUpTable
from .combine import Combine, CombineTable
from .cool import Cool, CoolTable
from .density import Density, DensityTable
from .disperse import Disperse, DisperseTable
from .fill import Fill, FillTable
from .finish import Finish, FinishTable
from .heat import Heat, HeatTable
from .look import Look, LookOver, LookOverTable
from .measure import Measure, MeasureTable
from .measure_ph import MeasurePh, MeasurePhTable
from .premix import Premix, PremixTable
from .prepare import Prepare, PrepareTable
from .rest import Rest, RestTable
from .table import StepTable
from .top_up import TopUp, TopUpTable
from .weigh import Weigh, WeighTable

__all__ = [
    "STEP_TABLES", "Add", "AnyStep", "Blend", "CleanUp", "Combine", "Cool", "Density", "Disperse", "Fill", "Finish",
    "Heat", "Look", "LookOver", "Measure", "MeasurePh", "Premix", "Prepare", "Rest", "Step", "TopUp", "Weigh",
]  # fmt: skip

#: Every kind, for whoever has to treat each: the type checker says where one is missing (typing.assert_never).
AnyStep = (
    Prepare | Weigh | Disperse | Premix | Heat | TopUp | Combine | Blend | Cool | Rest | Add | MeasurePh | LookOver
    | Density | Measure | Fill | CleanUp | Finish
)  # fmt: skip

#: How each kind is written in a file, in the order a make usually has them.
TABLES: dict[type[AnyStep], type[StepTable]] = {
    Prepare: PrepareTable,
    Weigh: WeighTable,
    Disperse: DisperseTable,
    Premix: PremixTable,
    Heat: HeatTable,
    TopUp: TopUpTable,
    Combine: CombineTable,
    Blend: BlendTable,
    Cool: CoolTable,
    Rest: RestTable,
    Add: AddTable,
    MeasurePh: MeasurePhTable,
    LookOver: LookOverTable,
    Density: DensityTable,
    Measure: MeasureTable,
    Fill: FillTable,
    CleanUp: CleanUpTable,
    Finish: FinishTable,
}
#: The same by the kind's name.
STEP_TABLES: dict[str, type[StepTable]] = {step.of_kind.name: table for step, table in TABLES.items()}
