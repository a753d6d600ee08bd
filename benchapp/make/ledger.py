"""What stands in which vessel, and what an empty one weighs: the book a doubted scale is held against."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass
class VesselAccount:
    """One vessel. ``empty_g`` is None until it was weighed empty; ``contents_g`` is line → grams."""

    empty_g: float | None = None
    contents_g: dict[str, float] = field(default_factory=dict)
    heated: bool = False  # hot vessels lose water between two weighings
    lost_g: float = 0.0  # water found missing so far
    unknown_g: float = 0.0  # spilled, and nobody knows of which line: the contents are less by so much

    @property
    def content_g(self) -> float:
        """Everything in it, in grams."""
        return sum(self.contents_g.values()) - self.unknown_g

    @property
    def gross_g(self) -> float | None:
        """What a true scale should show, None while the empty vessel has not been weighed."""
        return None if self.empty_g is None else self.empty_g + self.content_g


class Ledger:
    """All vessels of one make."""

    def __init__(self) -> None:
        self.vessels: dict[str, VesselAccount] = {}

    def of(self, vessel: str) -> VesselAccount:
        """The account of a vessel to look at: an empty one where none was opened. Looking opens none."""
        return self.vessels.get(vessel) or VesselAccount()

    def account(self, vessel: str) -> VesselAccount:
        """The account of a vessel to write in, opened when it is first asked for."""
        return self.vessels.setdefault(vessel, VesselAccount())

    def put(self, vessel: str, line: str, grams: float) -> None:
        """Grams of one line went in (negative: came out)."""
        contents = self.account(vessel).contents_g
        contents[line] = contents.get(line, 0.0) + grams

    def move(self, origin: str, into: str, left_g: float) -> float:
        """Everything but ``left_g`` grams goes from one vessel to the other, evenly mixed; returns the grams moved."""
        source, target = self.account(origin), self.account(into)
        total = source.content_g
        left = min(max(left_g, 0.0), total)
        share = (total - left) / total if total > 0 else 0.0
        for line, grams in list(source.contents_g.items()):
            target.contents_g[line] = target.contents_g.get(line, 0.0) + grams * share
            source.contents_g[line] = grams * (1 - share)
        target.unknown_g += source.unknown_g * share
        source.unknown_g *= 1 - share
        target.heated = target.heated or source.heated
        return total - left

    def lose_evenly(self, vessel: str, grams: float) -> None:
        """Grams of the mixed contents went away (a sample, what sticks to a spoon)."""
        account = self.account(vessel)
        total = account.content_g
        if total <= 0:
            return
        share = min(grams / total, 1.0)
        for line in account.contents_g:
            account.contents_g[line] *= 1 - share
        account.unknown_g *= 1 - share

    def lose(self, vessel: str, lines_g: dict[str, float], unknown_g: float) -> None:
        """Grams of these lines were spilled, and ``unknown_g`` more of nobody knows which."""
        account = self.account(vessel)
        for line, grams in lines_g.items():
            account.contents_g[line] = account.contents_g.get(line, 0.0) - grams
        account.unknown_g += unknown_g

    def lose_water(self, vessel: str, grams: float, water_lines: frozenset[str]) -> None:
        """Grams of water evaporated; taken from the water lines in the vessel, else from everything."""
        account = self.account(vessel)
        account.lost_g += grams
        waters = [line for line in account.contents_g if line in water_lines and account.contents_g[line] > 0]
        if not waters:
            self.lose_evenly(vessel, grams)
            return
        pool = sum(account.contents_g[line] for line in waters)
        share = min(grams / pool, 1.0)
        for line in waters:
            account.contents_g[line] *= 1 - share
