"""The sentences of a proposed method. Common practice, no source; a maker changes them to what her bench is like."""

from __future__ import annotations

from benchapp.foundation.language import tr, tr_noop

PREPARE_TASKS = (
    tr_noop("Tie back and cover your hair, take off rings and watch, wash your hands."),
    tr_noop("Wash and dry bench, scales and probes."),
    tr_noop("Wash and sanitise vessels and tools; let them dry in the air."),
    tr_noop("Put every ingredient on the bench with its lot number in sight."),
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
    hot_tasks = [tr("Switch the hot plate off and empty the water bath.")] if hot else []
    return [
        *hot_tasks,
        tr("Unplug blender and stirrer, then scrape and wash them."),
        tr("Wash, rinse and dry vessels, tools and probes."),
        tr("Close, label and put away every container."),
    ]
