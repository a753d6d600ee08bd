"""A recipe written by touches on a real glass, as on the first day: what ``first_day.py`` starts.

python recipe_by_touch.py DATA-FOLDER    the materials are on the shelf already
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "screens")]

NAME = "Harbour skin oil"
#: Material and share; invented for the demo. Not a tested formula: do not sell it as it stands.
LINES = (("Sunflower oil", "rest"), ("Jojoba oil", "20"), ("Vitamin E", "1"))


def main() -> int:
    """Write it, and say how many touches it took."""
    from benchapp.screens.environment import tame

    folder = Path(sys.argv[1])
    tame(folder / "display")
    from recipe_writer import Writer

    from benchapp.record.journal import Journal
    from benchapp.runtime.clocks import wall_now

    journal = Journal(folder, wall_now)
    writer = Writer(journal, folder=folder)
    write(writer)
    print(f"{writer.touches} touches")
    writer.close()
    journal.close()
    return 0


def write(writer) -> None:
    """From the bench to a recipe on the shelf."""
    for words in ("Recipes", "New recipe", "Line by line"):
        writer.press(words)
    writer.write(NAME)
    writer.press("leave-on")
    writer.press("200 g")
    for material, share in LINES:
        writer.add(material, share)
    writer.press("Back")
    # All of it into one pot; 2 g on a scale of 0.1 g can't be nearer than a tenth.
    writer.go("Vitamin E")
    writer.go("phase")
    writer.go("oil")
    writer.go("Vitamin E")
    writer.go("tolerance")
    writer.keys("10")
    writer.press("Back")
    writer.press("Method")
    writer.press("Propose a method")
    writer.press("it may be heated")
    writer.press("50 g")
    assert "It can be made." in writer.words(), writer.words()
    writer.press("Save")
    assert "It stands on the shelf now" in writer.words(), writer.words()


if __name__ == "__main__":
    sys.exit(main())
