"""A vessel comes onto a scale: seen empty, found again, found lighter, or not the one it should be."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.make.acts.base import Act, Sight, pressed
from benchapp.make.inputs import Grams, Input, TypeValue
from benchapp.make.moment import Ask, Choice, Face, Live, Want

#: So near to its full mass, a vessel came back without having been poured out.
FULL_SHARE = 0.02
#: Seconds a vessel has to stand still before it counts as placed.
STAND_S = 1.0
#: A heated vessel may have lost this share of its contents as steam before its weight is questioned.
STEAM_SHARE = 0.15
#: A stated empty mass is a rough figure; the weighed one may differ by this share.
ROUGH_SHARE = 0.35
#: So many divisions about zero are an empty pan that has drifted; a vessel lighter than that needs less room.
EMPTY_DIVISIONS, LIGHT_SHARE = 10.0, 0.4
#: A display may have crept so far while a vessel stood on it for an hour, in grams (common practice, no source).
DRIFT_G = 0.3
#: More than this share left in a scraped vessel wants another scrape (common practice, no source).
LEFT_SHARE = 0.05


def agreement_g(division_g: float, gross_g: float) -> float:
    """How far two weighings of an untouched vessel may differ, in grams: three divisions or 0.1 %."""
    return max(3 * division_g, 0.001 * abs(gross_g))


def pan_is_empty(sight: Sight, device: str, gross_g: float, vessel: str = "") -> bool:
    """Whether that gross mass is nothing but the pan. A light vessel expected there lowers the limit."""
    limit = EMPTY_DIVISIONS * sight.division_g(device)
    if vessel:
        known = sight.state.ledger.of(vessel).empty_g
        rough = (
            sight.plan.procedure.vessels[vessel].empty_g if vessel in sight.plan.procedure.vessels else None
        )
        mass = known if known is not None else rough
        if mass is not None:
            limit = min(limit, LIGHT_SHARE * mass)
    return abs(gross_g) <= limit


def cleared(sight: Sight, device: str, still_g: float) -> list[ev.Event] | None:
    """None while something stands on the pan; otherwise what has left it (nothing, where nothing was known)."""
    if not pan_is_empty(sight, device, still_g):
        return None
    standing = sight.state.on_scale.get(device)
    if standing is None:
        return []
    return [ev.VesselLifted(at_s=sight.now_s, vessel=standing, device=device, gross_g=round(still_g, 3))]


@dataclass(frozen=True)
class VesselOn(Act):
    """Put a vessel on its scale. ``fresh``: empty; otherwise the ledger knows what it should weigh."""

    vessel: str = ""
    device: str = ""

    @property
    def devices(self) -> tuple[str, ...]:
        """The scale."""
        return (self.device,)

    @property
    def brief(self) -> str:
        """What goes where."""
        return f"Vessel onto the {self.device}"

    def _expected_g(self, sight: Sight) -> float | None:
        return sight.state.ledger.of(self.vessel).gross_g

    def _in_the_way(self, sight: Sight) -> str | None:
        standing = sight.state.on_scale.get(self.device)
        return standing if standing is not None and standing != self.vessel else None

    def take(self, sight: Sight, given: Input) -> list[ev.Event]:
        """Known again by its mass: placed. Else the maker has to say that it is the one."""
        if isinstance(given, TypeValue) and given.value > 0:
            problem = self._problem(sight, given.value)
            noted = (
                [self.deviation(sight, ev.Grade.MINOR, "vessel mass", problem + " Typed.")] if problem else []
            )
            return [*noted, self._placed(sight, given.value, ev.Source.STATED), self.finish(sight)]
        if isinstance(given, Grams) and given.device != self.device:
            return []
        gross = sight.still_g(self.device, STAND_S)
        if gross is None:
            return []
        other = self._in_the_way(sight)
        if other is not None:
            if pan_is_empty(sight, self.device, gross, self.vessel):
                return [ev.VesselLifted(at_s=sight.now_s, vessel=other, device=self.device, gross_g=gross)]
            return []
        if pan_is_empty(sight, self.device, gross, self.vessel):
            drift = sight.division_g(self.device) < abs(gross)
            value = gross + sight.zero_g(self.device)
            return [ev.PanSeenEmpty(at_s=sight.now_s, device=self.device, zero_g=value)] if drift else []
        problem = self._problem(sight, gross)
        if (problem or not self._known_again(sight, gross)) and not pressed(given, "it is"):
            return []
        return self._accept(sight, gross, problem)

    def _known_again(self, sight: Sight, gross: float) -> bool:
        """Whether it weighs what the ledger has of it. A rough figure, or steam that left, fits other things as well."""
        expected = self._expected_g(sight)
        allowed = agreement_g(sight.division_g(self.device), gross)
        return expected is not None and abs(gross - expected) <= allowed

    def _accept(self, sight: Sight, gross: float, problem: str) -> list[ev.Event]:
        out: list[ev.Event] = []
        if problem:
            out.append(self.deviation(sight, ev.Grade.MINOR, "vessel mass", problem + " The maker went on."))
        expected = self._expected_g(sight)
        lost = (expected or gross) - gross
        tolerance = agreement_g(sight.division_g(self.device), gross)
        if expected is not None and lost > tolerance:
            waters = tuple(
                x for x in sight.state.ledger.of(self.vessel).contents_g if x in sight.plan.water_lines
            )
            out.append(
                ev.WaterLost(
                    at_s=sight.now_s, step=self.step.key, vessel=self.vessel, lost_g=round(lost, 3),
                    lines=waters, source=ev.Source.MEASURED,
                )
            )  # fmt: skip
        elif (
            expected is not None and not problem and abs(gross - expected) > sight.division_g(self.device) / 2
        ):
            # What another weighing of the same vessel differs by is the scale's, not the next ingredient's.
            out.append(ev.ZeroShifted(at_s=sight.now_s, device=self.device, by_g=round(gross - expected, 4)))
            gross = expected
        return [*out, self._placed(sight, gross, ev.Source.MEASURED), self.finish(sight)]

    def _placed(self, sight: Sight, gross: float, source: ev.Source) -> ev.Event:
        account = sight.state.ledger.of(self.vessel)
        stated = source is ev.Source.STATED
        return ev.VesselPlaced(
            at_s=sight.now_s, step=self.step.key, vessel=self.vessel, device="" if stated else self.device,
            gross_g=round(gross + (0.0 if stated else sight.zero_g(self.device)), 3),
            empty=account.empty_g is None and not account.contents_g, source=source,
        )  # fmt: skip

    def _problem(self, sight: Sight, gross: float) -> str:
        """Why this may not be the vessel, "" when it fits."""
        name = sight.vessel_name(self.vessel)
        expected = self._expected_g(sight)
        if expected is None:
            rough = sight.plan.vessel(self.vessel).empty_g
            if rough is not None and abs(gross - rough) > ROUGH_SHARE * rough:
                return f"The {name} should weigh about {rough:.0f} g empty; the scale shows {gross:.1f} g."
            return ""
        account = sight.state.ledger.of(self.vessel)
        tolerance = agreement_g(sight.division_g(self.device), gross)
        steam = STEAM_SHARE * account.content_g if account.heated else 0.0
        if expected - steam - tolerance <= gross <= expected + tolerance:
            return ""
        return f"The {name} should weigh {expected:.1f} g; the scale shows {gross:.1f} g."

    def _question(self, sight: Sight, gross: float) -> tuple[str, str]:
        """What is asked about what stands there, and what would follow."""
        name, expected = sight.vessel_name(self.vessel), self._expected_g(sight)
        if expected is None:
            return f"Is this the empty, dry {name}?", f"It weighs {gross:.1f} g."
        return f"Is this the {name}?", f"Then {expected - gross:.1f} g of it have gone as steam."

    def face(self, sight: Sight) -> Face:
        """Which vessel, and what the scale shows."""
        name = sight.vessel_name(self.vessel)
        gross = sight.gross_g(self.device)
        live = Live(self.device, gross, "g", _decimals(sight, self.device), ev.Source.MEASURED, self.device)
        other = self._in_the_way(sight)
        want = Want("put on", vessel=self.vessel, device=self.device)
        not_yet: tuple[str, ...] = ()
        choices: tuple[Choice, ...] = ()
        text = f"Put the {name} on the {self.device}."
        if sight.state.ledger.of(self.vessel).empty_g is None:
            text = f"Put the empty, dry {name} on the {self.device}."
        still = sight.still_g(self.device, STAND_S)
        if other is not None:
            text = f"Take the {sight.vessel_name(other)} off the {self.device}."
            want = Want("lift", vessel=other, device=self.device)
        elif sight.watch.tared(self.device):
            not_yet = ("The scale says that a tare is on. Empty the pan and press its zero or tare key.",)
        elif still is None:
            not_yet = ("The scale is still moving.",) if gross is not None else ("No reading yet.",)
        elif pan_is_empty(sight, self.device, still, self.vessel):
            not_yet = ("The pan is empty.",)
        else:
            problem = self._problem(sight, still)
            if problem or not self._known_again(sight, still):
                text, why = self._question(sight, still)
                not_yet = (problem or why,)
                choices = (Choice("it is", f"It is the {name}", serious=bool(problem)),)
        ask = Ask(f"gross mass of the {name}", "g", 0.1, 50_000.0, 2, usual=False)
        return Face(text, live=(live,), not_yet=not_yet, choices=choices, ask=ask, want=want)


def _decimals(sight: Sight, device: str) -> int:
    from benchapp.make.plan import decimals_of

    return decimals_of(sight.plan.device(device))


@dataclass(frozen=True)
class Emptied(Act):
    """Weigh a vessel that was poured out: what stayed in it, and so what really went over."""

    vessel: str = ""
    into: str = ""
    device: str = ""

    @property
    def devices(self) -> tuple[str, ...]:
        """The scale, where there is one."""
        return (self.device,) if self.device else ()

    @property
    def brief(self) -> str:
        """What for."""
        return "Weigh the emptied vessel"

    def begin(self, sight: Sight) -> list[ev.Event]:
        """Without a scale, or a known empty mass, everything is taken to have gone over."""
        if self.device and sight.state.ledger.of(self.vessel).empty_g is not None:
            return []
        return [self._moved(sight, 0.0, ev.Source.COMPUTED), self.finish(sight)]

    def take(self, sight: Sight, given: Input) -> list[ev.Event]:
        """Still and no lighter than the empty vessel, and somebody says that it is the one."""
        account = sight.state.ledger.of(self.vessel)
        if pressed(given, "not weighed"):
            note = self.deviation(
                sight, ev.Grade.NOTE, "not weighed",
                f"The emptied {sight.vessel_name(self.vessel)} was not weighed; all of it is taken as poured.",
            )  # fmt: skip
            return [note, self._moved(sight, 0.0, ev.Source.COMPUTED), self.finish(sight)]
        gross = sight.still_g(self.device, STAND_S) if self.device else None
        if gross is None or account.empty_g is None:
            return []
        gone = cleared(sight, self.device, gross)
        if gone is not None or not self._plausible(sight, gross):
            return gone or []
        if self._in_the_way(sight, gross) is not None:
            return []
        left = max(gross - account.empty_g, 0.0)
        much = self._too_much(sight, left)
        if not pressed(given, "that is all" if much else "it is"):
            return []  # what else weighs as much is not known by its weight
        placed = ev.VesselPlaced(
            at_s=sight.now_s, step=self.step.key, vessel=self.vessel, device=self.device,
            gross_g=round(gross + sight.zero_g(self.device), 3), empty=False, source=ev.Source.MEASURED,
        )  # fmt: skip
        noted: list[ev.Event] = (
            [self.deviation(sight, ev.Grade.MINOR, "left in vessel", much)] if much else []
        )
        return [*noted, placed, self._moved(sight, left, ev.Source.MEASURED), self.finish(sight)]

    def _in_the_way(self, sight: Sight, gross: float) -> str | None:
        """Another vessel that was left on the scale and still weighs there what the ledger has of it."""
        standing = sight.state.on_scale.get(self.device)
        if standing is None or standing == self.vessel:
            return None
        known = sight.state.ledger.of(standing).gross_g
        if known is None:
            return None
        off = abs(gross - known)
        # What creeps is believed of a full vessel only: two empty boats may well weigh the same.
        crept = off <= DRIFT_G and bool(
            self._too_much(sight, gross - (sight.state.ledger.of(self.vessel).empty_g or 0.0))
        )
        return standing if crept or off <= agreement_g(sight.division_g(self.device), gross) else None

    def _too_much(self, sight: Sight, left: float) -> str:
        """A sentence where more stayed behind than scraping should leave, "" otherwise."""
        content = sight.state.ledger.of(self.vessel).content_g
        allowed = max(LEFT_SHARE * content, 3 * sight.division_g(self.device))
        if left <= allowed:
            return ""
        share = 100 * left / content if content else 100.0
        return f"{left:.2f} g, {share:.0f} % of what was weighed, stayed in the {sight.vessel_name(self.vessel)}."

    def _plausible(self, sight: Sight, gross: float) -> bool:
        account = sight.state.ledger.of(self.vessel)
        empty = account.empty_g or 0.0
        tolerance = agreement_g(sight.division_g(self.device), gross)
        return empty - tolerance <= gross <= empty + account.content_g + tolerance

    def _moved(self, sight: Sight, left: float, source: ev.Source) -> ev.Event:
        content = sight.state.ledger.of(self.vessel).content_g
        left = min(left, content)
        return ev.MassMoved(
            at_s=sight.now_s, step=self.step.key, origin=self.vessel, into=self.into,
            mass_g=round(content - left, 3), left_g=round(left, 3), source=source,
        )  # fmt: skip

    def face(self, sight: Sight) -> Face:
        """Back onto the scale."""
        name = sight.vessel_name(self.vessel)
        gross = sight.gross_g(self.device)
        live = Live(self.device, gross, "g", _decimals(sight, self.device), ev.Source.MEASURED, self.device)
        empty = sight.state.ledger.of(self.vessel).empty_g or 0.0
        still = sight.still_g(self.device, STAND_S)
        not_yet: tuple[str, ...] = ()
        choices = [Choice("not weighed", "Go on without", serious=True)]
        want = Want("put on", vessel=self.vessel, device=self.device)
        text = f"Put the emptied {name} on the {self.device}."
        other = None if still is None else self._in_the_way(sight, still)
        if other is not None:
            text = f"Take the {sight.vessel_name(other)} off the {self.device}."
            want = Want("lift", vessel=other, device=self.device)
        elif still is not None and not pan_is_empty(sight, self.device, still):
            much = self._too_much(sight, still - empty)
            if not self._plausible(sight, still):
                full = empty + sight.state.ledger.of(self.vessel).content_g
                if abs(still - full) <= FULL_SHARE * full:  # it came back as full as it went
                    want = Want("transfer", self.vessel, self.into)
                not_yet = (
                    f"The emptied {name} should weigh a little over {empty:.1f} g; the scale shows {still:.1f} g.",
                )
            elif much:
                not_yet = (f"{much} Scrape it out once more.",)
                want = Want("transfer", self.vessel, self.into)
                choices.insert(0, Choice("that is all", "That is all I can get", serious=True))
            else:
                text = f"Is this the emptied {name}?"
                not_yet = (f"Then {max(still - empty, 0.0):.2f} g stayed in it.",)
                choices.insert(0, Choice("it is", f"It is the {name}"))
        return Face(
            text,
            note="To see what stayed in it.",
            live=(live,),
            not_yet=not_yet,
            choices=tuple(choices),
            want=want,
        )
