"""The program as it was installed from a wheel, away from its source: what ``.ci/wheel`` starts.

python installed_program.py SITE-PACKAGES
"""

from __future__ import annotations

import contextlib
import importlib
import io
import sys
from pathlib import Path


def say(command: list[str], wanted: str) -> None:
    """Run one command of the program; its words have to hold what is wanted."""
    from benchapp.cli import main

    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        try:
            code = main(command)
        except SystemExit as ended:  # --help
            code = int(ended.code or 0)
    words = out.getvalue()
    if code != 0 or wanted not in words:
        sys.exit(f"benchapp {' '.join(command)}: exit {code}, without {wanted!r}:\n{words[-2000:]}")
    print(f"benchapp {' '.join(command[:3])}: {wanted}")


def screen_starts() -> None:
    """The bench page, drawn offscreen, with the simulated bench's readings; then the window closes."""
    from benchapp.screens.environment import display_missing, tame

    why = display_missing()
    if why:
        print(f"left out: the screen ({why})")
        return
    tame(Path("display"))
    from kivy.app import App
    from kivy.base import stopTouchApp
    from kivy.clock import Clock

    from benchapp.cli import main

    words: list[str] = []

    def look(_: float) -> bool | None:
        app = App.get_running_app()
        page = app.navigator.page
        words[:] = [w.text for w in page.walk() if getattr(w, "text", "")]
        if not any("on a simulated bench" in text for text in words):
            return None
        stopTouchApp()
        return False

    Clock.schedule_interval(look, 0.2)
    Clock.schedule_once(lambda _: stopTouchApp(), 30)
    code = main(["screen", "--maker", "Mara Lind", "--data", "glass"])
    if code != 0 or not any("Mara Lind, on a simulated bench" in text for text in words):
        sys.exit(f"the screen did not come up: exit {code}, {words}")
    print("benchapp screen: Mara Lind, on a simulated bench.")


def main() -> None:
    """Everything in turn; any failure ends the process with a sentence."""
    own = Path(sys.argv[1]).resolve()
    for room in ("benchapp", "drivers", "procedures"):
        at = Path(importlib.import_module(room).__file__ or "").resolve()
        if not at.is_relative_to(own):
            sys.exit(f"{room} comes from {at}, not from the wheel in {own}")
    library = sorted(str(p) for p in (own / "procedures/library").glob("*.toml"))
    say(["listen", "--help"], "--write FILE")
    say(["check", *library], "tide-pool-gel")
    say(["rehearse", "tide-pool-gel", "--terminal", "--pace", "0", "--data", "made"], "Finished: ")
    say(["batches", "--data", "made"], "tide-pool-gel")
    say(["verify", "--data", "made"], "each as it was written")
    screen_starts()
    pages = sorted(page.name for page in (Path(sys.prefix) / "share/doc/benchapp").glob("*.md"))
    if "first-day.md" not in pages:
        sys.exit(f"the pages to read are not in {sys.prefix}/share/doc/benchapp: {pages}")
    print(f"{len(pages)} pages in share/doc/benchapp")


if __name__ == "__main__":
    main()
