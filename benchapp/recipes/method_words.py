"""The sentences of a proposed method. Common practice, no source; a maker changes them to what her bench is like."""

from __future__ import annotations

from benchapp.foundation.language import tr, tr_noop

PREPARE_TASKS = (
    tr_noop("Hair is tied back and covered, rings and watch are off, hands are washed."),
    tr_noop("Bench, scales and probes are washed and dry."),
    tr_noop("Vessels and tools are washed, sanitised and dry in the air."),
    tr_noop("Every ingredient is on the bench, and each lot number can be read."),
)
LOOKS = (
    ("Appearance", tr_noop("Even, without grains, lumps or oil at the edge")),
    ("Smell", tr_noop("As it should be, nothing rancid or burnt")),
)
RELEASE_PH = tr_noop("Still within its limits; it often moves a little overnight")
RELEASE_LOOK = tr_noop("No water below, no oil above, no grains")
NO_SHEET = tr_noop(
    "No safety data sheet is entered for: {}. What is dangerous about it is not known "
    "here, so handle it as hazardous: gloves, glasses, no dust, no vapour; and read its "
    "supplier's sheet first."
)


def clean_up_tasks(hot: bool) -> list[str]:
    """What is left clean; ``hot`` where something was heated."""
    hot_tasks = [tr("The hot plate is off, and the water bath is empty.")] if hot else []
    return [
        *hot_tasks,
        tr("Blender and stirrer are unplugged, scraped and washed."),
        tr("Vessels, tools and probes are washed, rinsed and dry."),
        tr("Every container is closed, labelled and put away."),
    ]
