"""Who may do what, on the glass: what practising adds, who is enrolled, and which level is granted by whom."""

from __future__ import annotations

import pytest

from benchapp import events as ev
from benchapp.record.people import prove
from benchapp.record.workshop import Workshop
from benchapp.rehearsal.scenario_reading import find_scenario
from benchapp.runtime.clocks import running_s

STEP = "03-weigh"
OVER_POUR = find_scenario("over-pour")


def test_a_rehearsed_goal_stands_on_the_page_and_a_grant_by_pin_raises_it(glass, enrolled, journal):
    journal.append("r1", [
        ev.MakeStarted(at_s=0.0, batch="r1", maker="Jo Tern", procedure="oat-hand-lotion", procedure_sha256="",
                       procedure_text="", batch_g=500.0, devices=(), rehearsal=True, scenario=OVER_POUR.text),
        ev.ActBegan(at_s=1.0, step=STEP, act="pour glycerin"),
        ev.RemedyChosen(at_s=2.0, step=STEP, act="pour glycerin", line="glycerin", remedy=ev.Remedy.REMOVE, reason=""),
        ev.StepFinished(at_s=3.0, step=STEP),
        ev.MakeAbandoned(at_s=4.0, reason="over"),
    ])  # fmt: skip
    glass.practices.practices()
    glass.press("Who may do what")
    assert "Jo Tern Only practised: weigh helper" in glass.words()
    glass.press("Jo Tern")
    assert "Only practised" in [label.text for label in glass.page.texts]
    assert "On record since 1 March 2026: rehearsal r1." in glass.words()
    for kind in ("weigh", "combine", "add", "measure pH", "fill"):
        assert f"{kind} (a second person signs)" in glass.words()
    glass.press("Allow a step")
    glass.press("weigh")
    glass.press("independent")
    glass.type_pin()
    assert glass.words().startswith("Jo Tern: weigh, independent.")
    glass.press("Back")
    assert "On record since 1 March 2026: granted by Mara Lind." in glass.words()
    assert "weigh (a second person signs)" not in glass.words(), "granted: nobody signs beside them"
    assert "fill (a second person signs)" in glass.words()
    (granted,) = journal.of_kinds([ev.CompetenceGranted])
    assert (granted.event.who, granted.event.by) == ("Jo Tern", "Mara Lind")


def test_somebody_is_enrolled_by_touch_with_a_releasers_pin_and_their_own(glass, enrolled):
    glass.competence.people()
    glass.press("Enrol somebody")
    glass.write("Ole Brandt")
    glass.press("Helper, who learns")
    glass.type_pin()  # Mara Lind's
    glass.keys("7319")
    glass.keys("7319")
    assert glass.words().startswith("Ole Brandt is enrolled as helper.")
    person = enrolled.people().find("Ole Brandt")
    assert person.roles == ("helper",)
    assert not isinstance(prove(enrolled.journal, "Ole Brandt", "7319", running_s()), str)


@pytest.mark.parametrize(
    ("by_pin", "first", "second", "said"),
    [("4826", "7319", "7318", "two different PINs"), ("4826", "1111", "1111", "the first anybody would try"),
     ("4827", "7319", "7319", "That is not the PIN of Mara Lind")],
)  # fmt: skip
def test_nobody_is_enrolled_by_a_slip(glass, enrolled, by_pin, first, second, said):
    glass.competence.enrol()
    glass.write("Ole Brandt")
    glass.press("Maker")
    glass.type_pin(by_pin)
    glass.keys(first)
    glass.keys(second)
    assert said in glass.words()
    assert enrolled.people().find("Ole Brandt") is None


def test_the_first_person_enrols_themselves_and_has_to_be_a_releaser(glass, journal):
    glass.competence.enrol()
    glass.write("Ina Voss")
    glass.press("Helper, who learns")
    glass.keys("7319")
    glass.keys("7319")
    assert "has to be a releaser" in glass.words()
    glass.competence.enrol()
    glass.write("Ina Voss")
    glass.press("Maker and releaser")
    glass.keys("7319")
    glass.keys("7319")
    assert Workshop(journal).people().find("Ina Voss").roles == ("maker", "releaser")


def test_a_wrong_pin_grants_nothing_and_nobody_grants_it_to_themselves(glass, enrolled, journal):
    glass.competence.person("Mara Lind")
    assert "Allow a step" not in glass.labels()
    assert "May do every step alone, as every maker." in glass.words()
    glass.competence.person("Jo Tern")
    glass.press("Allow a step")
    glass.press("weigh")
    glass.press("independent")
    glass.type_pin("4827")
    assert not journal.of_kinds([ev.CompetenceGranted])


def test_every_kind_of_step_can_be_reached_on_the_smallest_glass(glass, enrolled):
    from benchapp.record.competence import STEP_KINDS
    from benchapp.screens.display.sizes import PANELS, Sizes

    glass.navigator.sizes = Sizes.of(PANELS[-1], True)
    glass.competence.person("Jo Tern")
    glass.press("Allow a step")
    seen = set()
    for _ in range(9):
        seen |= set(glass.labels())
        glass.turn_page()
    assert set(STEP_KINDS) <= seen
