"""Whatever order of steps the check accepts, the make of it comes to its end on the simulated bench."""

import pytest
from busy_make import BusyMake
from odd_procedures import odd_procedure

from benchapp import events as ev

LONGEST_S = 8 * 3600.0
#: Of the accepted ones one in which a boat is poured into another and that into the batch; the others are walked by hand.
QUICK = (26,)


def walked(seed):
    """A whole make, with somebody there who does what is wanted; None where the procedure is not accepted."""
    procedure = odd_procedure(seed)
    if procedure is None:
        return None
    busy = BusyMake(procedure, seed)
    while not busy.make.state.over:
        busy.work()
        assert busy.world.now_s < LONGEST_S, f"{seed} stands at {busy.view().prompt}"
    return busy


def ends(seed):
    busy = walked(seed)
    if busy is None:
        return False
    weighed = {e.line for e in busy.events if isinstance(e, ev.WeightTaken)}
    assert weighed == {x.key for x in busy.make.plan.procedure.formula.lines}
    assert not [e for e in busy.events if isinstance(e, ev.StepSkipped)]
    return True


@pytest.mark.parametrize("seed", QUICK)
def test_an_odd_procedure_can_be_ended(seed):
    assert ends(seed)


@pytest.mark.by_hand
def test_many_odd_procedures_can_be_ended():
    assert sum(ends(seed) for seed in range(400)) > 50
