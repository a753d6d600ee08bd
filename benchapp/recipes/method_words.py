"""The sentences of a proposed method. Common practice, no source; a maker changes them to what her bench is like."""

from __future__ import annotations

PREPARE_TASKS = (
    "Hair is tied back and covered, rings and watch are off, hands are washed.",
    "Bench, scales and probes are washed and dry.",
    "Vessels and tools are washed, sanitised and dry in the air.",
    "Every ingredient is on the bench, and each lot number can be read.",
)
LOOKS = (
    ("Appearance", "Even, without grains, lumps or oil at the edge"),
    ("Smell", "As it should be, nothing rancid or burnt"),
)
RELEASE_PH = "Still within its limits; it often moves a little overnight"
RELEASE_LOOK = "No water below, no oil above, no grains"
NO_SHEET = (
    "No safety data sheet is entered for: {}. What is dangerous about it is not known here, so handle it as hazardous:"
    " gloves, glasses, no dust, no vapour; and read its supplier's sheet first."
)


def clean_up_tasks(hot: bool) -> list[str]:
    """What is left clean; ``hot`` where something was heated."""
    hot_tasks = ["The hot plate is off, and the water bath is empty."] if hot else []
    return [
        *hot_tasks,
        "Blender and stirrer are unplugged, scraped and washed.",
        "Vessels, tools and probes are washed, rinsed and dry.",
        "Every container is closed, labelled and put away.",
    ]
