"""The cream with its second boat weighed first, over real ports: made to its end, and on the record as it was done."""

from __future__ import annotations

import pytest
from acting import step_s

from benchapp import events as ev
from benchapp.make.inputs import Press
from benchapp.record.drawing_up import record_of
from benchapp.service.procedure_facts import procedure_facts
from procedures.reading import read_procedure
from procedures.shelf import find


def made(rehearsal, limit=40_000):
    """To the end by a maker who weighs nothing ahead, and takes another step first where one is offered; the words with
    which that was said."""
    said = []
    view = rehearsal.session.view()
    for _ in range(limit):
        view = rehearsal.step(step_s(rehearsal, view))
        if view.over:
            return said
        offered = next((c.word for c in view.act_view.choices if c.word.startswith("instead:")), None)
        if offered and not said:
            said.append(offered)
            rehearsal.session.put(Press(rehearsal.session.clock(), view.prompt, offered))
            continue
        answer = rehearsal.answers.at(view)
        if answer is not None and not answer.choice.startswith("ahead:"):
            rehearsal.session.put(answer.given(rehearsal.session.clock(), view.prompt))
    pytest.fail(f"no end at {view.step_title}")


def test_the_second_boat_first(make_rehearsal, journal):
    procedure = read_procedure(find("winter-shore-cream")).procedure
    assert made(make_rehearsal(procedure)) == ["instead:09-weigh"]
    events = journal.events("b1")
    weighed = [e.line for e in events if isinstance(e, ev.WeightTaken)]
    assert weighed.index("lavender-oil") < weighed.index("bisabolol")
    record = record_of(journal.stored("b1"), procedure_facts(procedure))
    boats = [t.title for t in record.steps if "boat" in t.title and t.kind == "weigh"]
    assert boats == ["Weigh the second boat", "Weigh the first boat"]
    (said,) = [x.what for x in record.waits if x.what.startswith("put off")]
    assert said == "put off; first: Weigh the second boat"
    assert record.grams["lavender-oil"] == pytest.approx(1.8, abs=0.1)
