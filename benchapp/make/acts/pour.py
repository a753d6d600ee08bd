"""One line of the formula poured onto a scale until it rests in its band."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.calculations.landing import landing_g, stop_in_s
from benchapp.calculations.overpour import Remedies
from benchapp.make.acts.base import Act, Sight
from benchapp.make.acts.vessel import agreement_g, pan_is_empty
from benchapp.make.inputs import Grams, Input, Press, TypeValue
from benchapp.make.moment import Ask, Choice, Face, Live, VesselPicture, Want
from benchapp.make.plan import decimals_of
from benchapp.make.remedies import keep_formula, offer, worked_out

#: Seconds at rest in the band before a weighing is taken: time to object by pouring on or lifting.
DWELL_S = 2.0
#: Beyond this many times the margin above the target, too much is far too much.
FAR = 5.0
#: So much more, a moment after a weighing was taken, is drops that hung on the lip (common practice, no source).
LATE_DROPS_G = 0.3
#: "Stop" is said one reading early, because the next one may be too late.
CUE_AHEAD_S = 0.1
#: The name under which a weight typed far from its target waits to be confirmed.
TYPED = "typed weight"
#: Below this share of its last gross a vessel counts as lifted.
LIFTED_SHARE = 0.3


@dataclass(frozen=True)
class Pour(Act):
    """Weigh ``line`` into ``vessel`` on the scale ``device`` ("" by hand)."""

    line: str = ""
    vessel: str = ""
    device: str = ""
    checked: bool = False

    @property
    def devices(self) -> tuple[str, ...]:
        """The scale."""
        return (self.device,) if self.device else ()

    @property
    def brief(self) -> str:
        """Weighing."""
        return "Weigh it"

    # --- the target ----------------------------------------------------------------------------------

    def target(self, sight: Sight) -> tuple[float, float, float]:
        """Target and limits in grams, as planned or as a remedy revised them."""
        revised = sight.state.revised.get(self.line)
        if revised is not None:
            return revised
        weighing = sight.plan.weighings[self.line]
        return weighing.target_g, weighing.low_g, weighing.high_g

    def _name(self, sight: Sight) -> str:
        return next(x.name for x in sight.plan.procedure.formula.lines if x.key == self.line)

    def _net_g(self, sight: Sight, gross: float) -> float:
        baseline = (sight.state.progress.baseline_g or 0.0) - sight.zero_g(self.device)
        division = sight.division_g(self.device)
        return round(round((gross - baseline) / division) * division, 6)

    # --- deciding ------------------------------------------------------------------------------------

    def take(self, sight: Sight, given: Input) -> list[ev.Event]:
        """Baseline, pour, rest in band, taken. Too much: a remedy first."""
        if isinstance(given, TypeValue):
            return self._typed(sight, given.value)
        if isinstance(given, Press) and sight.state.progress.stage == "typed":
            return self._typed_decision(sight, given)
        if not self.device:
            return []
        if isinstance(given, Press):
            return self._chosen(sight, given)
        if isinstance(given, Grams) and given.device == self.device:
            return self._weighed(sight)
        return []

    def _weighed(self, sight: Sight) -> list[ev.Event]:
        progress = sight.state.progress
        gross = sight.gross_g(self.device)
        if gross is None:
            return []
        if progress.baseline_g is None:
            return self._begin_pour(sight)
        base = progress.baseline_g - sight.zero_g(self.device)
        if not progress.lifted and gross < LIFTED_SHARE * base:
            least, most = sight.last_gross_g(self.device) or (base, base)
            least = max(least, base)
            return [
                ev.VesselLifted(
                    at_s=sight.now_s,
                    vessel=self.vessel,
                    device=self.device,
                    gross_g=round(gross, 3),
                    least_g=round(least, 3),
                    most_g=round(max(most, least), 3),
                )
            ]
        if progress.lifted:
            return self._returned(sight, base)
        still = sight.still_g(self.device, DWELL_S)
        self._learn(sight, gross, still)
        if still is None:
            return []
        return self._at_rest(sight, self._net_g(sight, still), still)

    def _begin_pour(self, sight: Sight) -> list[ev.Event]:
        still = sight.still_g(self.device, 0.3)
        expected = sight.state.ledger.of(self.vessel).gross_g
        if still is None or pan_is_empty(sight, self.device, still):
            return []
        if expected is not None and not self._fits(sight, still, expected):
            return self._late_drop(sight, still - expected)
        return [
            ev.PourBegan(
                at_s=sight.now_s, step=self.step.key, act=self.key, line=self.line, device=self.device,
                baseline_g=round(still + sight.zero_g(self.device), 4),
            )
        ]  # fmt: skip

    def _late_drop(self, sight: Sight, more_g: float) -> list[ev.Event]:
        """A little more than was booked, with nothing done since: it belongs to the line before."""
        before = [w for taken in sight.state.weights.values() for w in taken if w.vessel == self.vessel]
        last = max(before, key=lambda w: w.at_s, default=None)
        most = max(LATE_DROPS_G, 10 * sight.division_g(self.device))
        if last is None or last.step != self.step.key or not 0 < more_g <= most:
            return []
        if sight.still_g(self.device, DWELL_S) is None:
            return []
        found = ev.LateDropFound(
            at_s=sight.now_s, step=self.step.key, line=last.line, vessel=self.vessel, device=self.device,
            drop_g=round(more_g, 4),
        )  # fmt: skip
        total = sight.state.weighed_g[last.line] + more_g
        if total <= last.high_g + 1e-9:
            return [found]
        name = next(x.name for x in sight.plan.procedure.formula.lines if x.key == last.line)
        text = f"{name}: a late drop made it {total:g} g, band {last.low_g:g} to {last.high_g:g} g."
        return [found, self.deviation(sight, ev.Grade.MINOR, "late drop", text)]

    def _fits(self, sight: Sight, still: float, expected: float) -> bool:
        """Whether an untouched vessel still stands there: a little noise, and steam where it is hot."""
        account = sight.state.ledger.of(self.vessel)
        noise = 3 * sight.division_g(self.device)
        steam = 0.02 * account.content_g if account.heated else 0.0
        return expected - noise - steam <= still <= expected + noise

    def _returned(self, sight: Sight, base: float) -> list[ev.Event]:
        still = sight.still_g(self.device, 0.5)
        if (
            still is None
            or pan_is_empty(sight, self.device, still, self.vessel)
            or self._changed(sight, base, still)
        ):
            return []
        return [self._back(sight, still)]

    def _back(self, sight: Sight, still: float) -> ev.Event:
        return ev.VesselReturned(
            at_s=sight.now_s, vessel=self.vessel, device=self.device, gross_g=round(still, 3)
        )

    def _changed(self, sight: Sight, base: float, still: float) -> str:
        """Why what came back may not be what was lifted, "" where it weighs the same."""
        least, most = sight.state.stood_g.get(self.device, (base, base))
        allowed = agreement_g(sight.division_g(self.device), still)
        down, up = least - allowed, most + allowed
        if down <= still <= up:
            return ""
        stood = f"{least:.1f}" if most - least < 0.1 else f"{least:.1f} to {most:.1f}"
        return f"It weighed {stood} g when it was lifted; now the scale shows {still:.1f} g."

    def _at_rest(self, sight: Sight, net: float, gross: float) -> list[ev.Event]:
        _, low, high = self.target(sight)
        stage = sight.state.progress.stage
        if low - 1e-9 <= net <= high + 1e-9:
            out: list[ev.Event] = []
            taken = sight.state.progress.taken_g
            if stage in ("remedy", "remove") and taken is not None:
                out = self._removal(sight, taken - net)
            return [*out, self._taken(sight, net, gross, ev.Source.MEASURED), self.finish(sight)]
        if net > high and stage == "":
            over = ev.OverpourFound(
                at_s=sight.now_s, step=self.step.key, act=self.key, line=self.line, net_g=net, high_g=high
            )
            return [over, self.stage(sight, "remedy")]
        if net < low and stage in ("remedy", "remove"):
            # Too much was taken out again: book it, and pour on.
            taken = sight.state.progress.taken_g or net
            return [*self._removal(sight, taken - net), self.stage(sight, "")]
        return []

    def _removal(self, sight: Sight, removed: float) -> list[ev.Event]:
        target, _, high = self.target(sight)
        taken = sight.state.progress.taken_g or target
        text = f"{self._name(sight)}: {taken:g} g where {high:g} g was the most; {removed:.3g} g removed as waste."
        return [
            ev.RemedyChosen(
                at_s=sight.now_s, step=self.step.key, act=self.key, line=self.line,
                remedy=ev.Remedy.REMOVE, reason="",
            ),
            ev.MaterialRemoved(
                at_s=sight.now_s, step=self.step.key, line=self.line, vessel=self.vessel,
                removed_g=round(removed, 4),
            ),
            self.deviation(sight, ev.Grade.NOTE, "over-pour removed", text),
        ]  # fmt: skip

    def _taken(self, sight: Sight, net: float, gross: float | None, source: ev.Source) -> ev.Event:
        target, low, high = self.target(sight)
        measured = source is ev.Source.MEASURED
        return ev.WeightTaken(
            at_s=sight.now_s, step=self.step.key, act=self.key, line=self.line, vessel=self.vessel,
            target_g=target, low_g=low, high_g=high, net_g=net,
            gross_g=None if gross is None else round(gross, 3), source=source,
            device=self.device if measured else "", checked=self.checked and measured,
        )  # fmt: skip

    def _typed(self, sight: Sight, value: float) -> list[ev.Event]:
        _, low, high = self.target(sight)
        if low - 1e-9 <= value <= high + 1e-9:
            return [self._taken(sight, value, None, ev.Source.STATED), self.finish(sight)]
        # A slip of the finger must not become a weight: far from the target it is asked for once more.
        asked = ev.NumberTaken(
            at_s=sight.now_s, step=self.step.key, act=self.key, what=TYPED, value=value, unit="g",
            source=ev.Source.STATED,
        )  # fmt: skip
        return [asked, self.stage(sight, "typed")]

    def _typed_decision(self, sight: Sight, given: Press) -> list[ev.Event]:
        value = sight.state.progress.value
        if sight.state.progress.stage != "typed" or value is None:
            return []
        if given.choice == "type again":
            return [self.stage(sight, "")]
        if not given.reason:
            return []
        return [
            self._out_of_band(sight, value, f"Typed. {given.reason}"),
            self._taken(sight, value, None, ev.Source.STATED),
            self.finish(sight),
        ]

    def _out_of_band(self, sight: Sight, net: float, reason: str) -> ev.Event:
        target, low, high = self.target(sight)
        margin = max(high - target, target - low, 1e-9)
        found = self._remedies(sight) if net > high else None
        grave = abs(net - target) > FAR * margin or (found is not None and bool(found.accept.why_not))
        grade = ev.Grade.MAJOR if grave else ev.Grade.MINOR
        text = f"{self._name(sight)}: {net:g} g, band {low:g} to {high:g} g. {reason}".strip()
        return self.deviation(sight, grade, "weight out of band", text)

    def _chosen(self, sight: Sight, given: Press) -> list[ev.Event]:
        still = sight.still_g(self.device, 0.5)
        base = (sight.state.progress.baseline_g or 0.0) - sight.zero_g(self.device)
        if given.choice == "it is" and sight.state.progress.lifted and still is not None:
            why = self._changed(sight, base, still)
            text = f"The {sight.vessel_name(self.vessel)}: {why} The maker says it is the one."
            return [self.deviation(sight, ev.Grade.MINOR, "vessel mass", text), self._back(sight, still)]
        if given.choice == "had begun" and sight.state.progress.baseline_g is None and still is not None:
            return self._had_begun(sight, still)
        if given.choice in ("typed anyway", "type again"):
            return self._typed_decision(sight, given)
        if given.choice == "from here" and sight.state.progress.baseline_g is None and still is not None:
            return self._from_here(sight, still)
        if given.choice == "remove" and sight.state.progress.stage == "remedy":
            found = self._remedies(sight)
            return [self.stage(sight, "remove")] if found is None or not found.remove.why_not else []
        if given.choice == "keep" and sight.state.progress.stage == "remedy" and still is not None:
            return self._keep(sight, still)
        if given.choice in ("accept", "accept less") and still is not None:
            return self._accept(sight, given, still)
        return []

    def _remedies(self, sight: Sight) -> Remedies | None:
        """All three worked out; None for a pour that is itself a remedy or a replacement."""
        if type(self) is not Pour or self.line not in sight.plan.weighings:
            return None
        return worked_out(sight, self.line, sight.state.progress.taken_g or 0.0)

    def _keep(self, sight: Sight, still: float) -> list[ev.Event]:
        found = self._remedies(sight)
        if found is None or found.keep.why_not:
            return []
        net = self._net_g(sight, still)
        name, batch = self._name(sight), sight.state.batch_g or sight.plan.batch_g
        chosen = ev.RemedyChosen(
            at_s=sight.now_s, step=self.step.key, act=self.key, line=self.line,
            remedy=ev.Remedy.KEEP_FORMULA, reason="",
        )  # fmt: skip
        text = f"{name}: {net:g} g; the formula is kept, the batch becomes {found.keep.batch_g:g} g."
        return [
            chosen,
            self.deviation(sight, ev.Grade.NOTE, "over-pour, formula kept", text),
            self._taken(sight, net, still, ev.Source.MEASURED),
            *keep_formula(sight, found.keep, batch),
            self.finish(sight),
        ]

    def _had_begun(self, sight: Sight, still: float) -> list[ev.Event]:
        """What is in already counts: the pour began at what the ledger has."""
        expected = sight.state.ledger.of(self.vessel).gross_g
        if expected is None or still <= expected:
            return []
        return [
            ev.PourBegan(
                at_s=sight.now_s, step=self.step.key, act=self.key, line=self.line, device=self.device,
                baseline_g=round(expected + sight.zero_g(self.device), 4),
            )
        ]  # fmt: skip

    def _from_here(self, sight: Sight, still: float) -> list[ev.Event]:
        expected = sight.state.ledger.of(self.vessel).gross_g or still
        vessel = sight.vessel_name(self.vessel)
        text = f"The {vessel} should have weighed {expected:.2f} g, the {self.device} showed {still:.2f} g."
        return [
            self.deviation(sight, ev.Grade.MINOR, "scale drift", text + " The maker went on from there."),
            ev.ZeroShifted(at_s=sight.now_s, device=self.device, by_g=round(still - expected, 4)),
        ]

    def _accept(self, sight: Sight, given: Press, still: float) -> list[ev.Event]:
        net = self._net_g(sight, still)
        _, low, high = self.target(sight)
        less = given.choice == "accept less"
        if not given.reason or (net >= low if less else net <= high):
            return []
        chosen = ev.RemedyChosen(
            at_s=sight.now_s, step=self.step.key, act=self.key, line=self.line,
            remedy=ev.Remedy.ACCEPT, reason=given.reason,
        )  # fmt: skip
        return [
            chosen,
            self._out_of_band(sight, net, f"Accepted: {given.reason}"),
            self._taken(sight, net, still, ev.Source.MEASURED),
            self.finish(sight),
        ]

    # --- showing -------------------------------------------------------------------------------------

    def face(self, sight: Sight) -> Face:
        """The ingredient, the live net mass, the vessel that fills to its band."""
        target, low, high = self.target(sight)
        decimals = decimals_of(sight.plan.device(self.device) if self.device else None)
        name = self._name(sight)
        ask = Ask(f"mass of {name}", "g", 0.0, 50_000.0, decimals, usual=not self.device)
        if sight.state.progress.stage == "typed":
            return self._typed_face(sight, name, ask)
        if not self.device:
            text = f"Weigh {target:.{decimals}f} g of {name} and type what the scale shows."
            return Face(text, ask=ask, want=Want("type", self.line, self.vessel, amount=target))
        gross = sight.gross_g(self.device)
        began = sight.state.progress.baseline_g is not None
        net = self._net_g(sight, gross) if gross is not None and began else None
        word = self._word(sight, net)
        live = Live(name, net, "g", decimals, ev.Source.MEASURED, self.device, word, self.checked)
        landing = self._landing_g(sight, net)
        picture = VesselPicture(sight.vessel_name(self.vessel), net, target, low, high, _top(high), landing)
        text, not_yet, choices, want = self._prompt(sight, net, gross)
        return Face(text, sight.state.progress.stage, (live,), picture, not_yet, choices, ask, want=want)

    def _typed_face(self, sight: Sight, name: str, ask: Ask) -> Face:
        _, low, high = self.target(sight)
        value = sight.state.progress.value or 0.0
        choices = (
            Choice("type again", "Type it again"),
            Choice("typed anyway", "It is so", serious=True, reason=True),
        )
        return Face(f"{value:g} g of {name}?", "typed", not_yet=(f"The band is {low:g} to {high:g} g.",), choices=choices,
                    ask=ask, want=Want("type", self.line, self.vessel, amount=self.target(sight)[0]))  # fmt: skip

    def _stop_now(self, sight: Sight, net: float, target: float) -> bool:
        """Whether scale and hand together are so late that the pour has to end now."""
        seen = sight.watch.scales.get(self.device)
        if seen is None or seen.still:
            return False
        left = stop_in_s(
            net,
            seen.flow_g_s,
            target,
            sight.watch.lateness(self.device, sight.division_g(self.device)).late_s,
        )
        return left is not None and left <= CUE_AHEAD_S

    def _learn(self, sight: Sight, gross: float, still: float | None) -> None:
        """Note when "stop" was said and where it came to rest, so that the next cue is nearer."""
        late = sight.watch.lateness(self.device, sight.division_g(self.device))
        if still is not None:
            late.landed(self._net_g(sight, still))
            sight.watch.scratch.pop("cued", None)
            return
        net = self._net_g(sight, gross)
        seen = sight.watch.scales[self.device]
        if "cued" not in sight.watch.scratch and self._stop_now(sight, net, self.target(sight)[0]):
            sight.watch.scratch["cued"] = 1.0
            late.cue(net, seen.flow_g_s)

    def _landing_g(self, sight: Sight, net: float | None) -> float | None:
        seen = sight.watch.scales.get(self.device)
        if net is None or seen is None or seen.still:
            return net
        return landing_g(net, seen.flow_g_s)

    def _word(self, sight: Sight, net: float | None) -> str:
        target, low, high = self.target(sight)
        if net is None:
            return "waiting"
        if net < low:
            return "below"
        if net <= high:
            return "in band"
        return "far above" if net > target + FAR * (high - target) else "above"

    def _prompt(
        self, sight: Sight, net: float | None, gross: float | None
    ) -> tuple[str, tuple[str, ...], tuple[Choice, ...], Want]:
        target, low, high = self.target(sight)
        decimals = decimals_of(sight.plan.device(self.device))
        name, vessel = self._name(sight), sight.vessel_name(self.vessel)
        progress = sight.state.progress
        back = Want("put on", vessel=self.vessel, device=self.device)
        if progress.lifted:
            still = sight.still_g(self.device, 0.5)
            base = (progress.baseline_g or 0.0) - sight.zero_g(self.device)
            if still is not None and not pan_is_empty(sight, self.device, still, self.vessel):
                why = self._changed(sight, base, still)
                choices = (Choice("it is", f"It is the {vessel}", serious=True),)
                return f"Is this the {vessel}?", (why,) if why else (), choices, back
            return f"Put the {vessel} back on the {self.device}.", (), (), back
        if net is None:
            return self._waiting(sight, gross, back)
        pour = Want("pour", self.line, self.vessel, self.device, target, high)
        if progress.stage == "remedy":
            taken = progress.taken_g or net
            text = f"{taken:.{decimals}f} g of {name} is too much."
            found = self._remedies(sight)
            want = Want("remedy", self.line, self.vessel, self.device, target)
            return text, offer(found) if found else (), self._ways(sight), want
        if progress.stage == "remove":
            text = f"Take out {max(net - target, 0):.{decimals}f} g of {name}. It is waste now."
            return text, (), (Choice("accept", "Accept it", serious=True, reason=True),), Want(
                "remove", self.line, self.vessel, self.device, target, high
            )  # fmt: skip
        text = f"Pour {target:.{decimals}f} g of {name} into the {vessel}."
        if net < target and self._stop_now(sight, net, target):
            return f"Stop. {name} lands on its target.", (), (), pour
        if net < low:
            less = (Choice("accept less", "No more left", serious=True, reason=True),) if net > 0 else ()
            return text, (), less, pour
        if net <= high:
            return text, ("Hold it there.",), (), Want("rest")
        return text, ("Above the band: stop.",), (), Want("rest")

    def _ways(self, sight: Sight) -> tuple[Choice, ...]:
        """The remedies that can be had now."""
        found = self._remedies(sight)
        out: list[Choice] = []
        if found is None or not found.remove.why_not:
            out.append(Choice("remove", "Take some out"))
        if found is not None and not found.keep.why_not:
            out.append(Choice("keep", "Keep the formula"))
        passed = found is not None and found.accept.why_not
        out.append(
            Choice("accept", "Accept over the limit" if passed else "Accept it", serious=True, reason=True)
        )
        return tuple(out)

    def _waiting(
        self, sight: Sight, gross: float | None, back: Want
    ) -> tuple[str, tuple[str, ...], tuple[Choice, ...], Want]:
        vessel = sight.vessel_name(self.vessel)
        still = sight.still_g(self.device, 0.3)
        expected = sight.state.ledger.of(self.vessel).gross_g
        if sight.watch.tared(self.device):
            said = "The scale says that a tare is on. Empty the pan and press its zero or tare key."
            return "Clear the scale's tare.", (said,), (), Want("rest")
        if gross is None:
            return "Wait for the scale.", ("No reading yet.",), (), Want("rest")
        if still is not None and pan_is_empty(sight, self.device, still):
            return f"Put the {vessel} on the {self.device}.", (), (), back
        if still is not None and expected is not None and not self._fits(sight, still, expected):
            why = f"The {vessel} should weigh {expected:.1f} g; the scale shows {still:.1f} g."
            drifted = Choice("from here", "The scale drifted: go on from here", serious=True)
            begun = Choice("had begun", "I had begun to pour", serious=True)
            choices = (begun, drifted) if still > expected else (drifted,)
            return f"Put the {vessel} on the {self.device}, and nothing else.", (why,), choices, back
        return "Hands off for a moment.", ("The scale is still moving.",), (), Want("rest")


def _top(high_g: float) -> float:
    """Where the drawing ends: a quarter more than the band's upper limit."""
    return high_g * 1.25
