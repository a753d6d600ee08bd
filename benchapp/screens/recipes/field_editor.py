"""One field asked for on the glass, by its kind: a keypad, letters, a choice, a list to be marked or written."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import assert_never

from benchapp.foundation.language import tr, tr_noop
from benchapp.make.view_model import NumberRequest
from benchapp.recipes.step_fields import FieldKind, StepField
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.text_pad import NAME_SIGNS
from procedures.quantities import limits_in

Answer = str | list[str]
#: What can be meant at all where there is no unit.
_LIMITS = {"": (0.0, 10_000.0), "pH": (0.0, 14.0)}
#: Fields that are a name, and as many signs as a sentence may have.
_NAMES, SENTENCE_SIGNS = ("title", "container", "packaging", "name", "inci", "supplier"), 400
#: Units as a person reads them.
SHOWN = {"degC": "°C", "degF": "°F"}


@dataclass(frozen=True, slots=True)
class FieldRequest:
    """A field, what it says now, what can be picked for it, and how it is called on the glass."""

    field: StepField
    value: str
    choices: tuple[str, ...] = ()
    about: str = ""

    @property
    def title(self) -> str:
        """What is asked."""
        name = self.field.name.replace("_", " ")
        return f"{self.about}: {name}" if self.about else name


class FieldEditor:
    """Asks for one field. ``done`` gets the answer as `field_value` takes it; "" takes the field out."""

    def __init__(self, navigator: Navigator) -> None:
        self._nav = navigator

    def ask(self, request: FieldRequest, done: Callable[[Answer], None], back: Callable[[], None]) -> None:
        """The page for its kind."""
        kind = request.field.kind
        match kind:
            case FieldKind.TEXT:
                self._letters(request, done, back)
            case FieldKind.QUANTITY | FieldKind.COUNT | FieldKind.NUMBER:
                self._number(request, done, back)
            case FieldKind.BAND:
                self._band(request, done, back)
            case (
                FieldKind.YES_NO | FieldKind.CHOICE | FieldKind.VESSEL | FieldKind.PHASE | FieldKind.MATERIAL
            ):
                self._choice(request, done, back)
            case FieldKind.PHASES | FieldKind.INGREDIENTS | FieldKind.SOLUTIONS:
                self._marked(request, _parts(request.value), done, back)
            case FieldKind.SENTENCES | FieldKind.LOOKS:
                self._written(request, _parts(request.value), done, back)
            case _:
                assert_never(kind)

    def _letters(
        self, request: FieldRequest, done: Callable[[Answer], None], back: Callable[[], None]
    ) -> None:
        longest = NAME_SIGNS if request.field.name in _NAMES else SENTENCE_SIGNS
        self._nav.ask_text(request.title, done, back, request.value, longest)

    def _number(
        self, request: FieldRequest, done: Callable[[Answer], None], back: Callable[[], None]
    ) -> None:
        unit = _unit(request)
        self.number(request.title, unit, lambda value: done(_said(value, unit)), back)

    def number(self, what: str, unit: str, done: Callable[[float], None], back: Callable[[], None]) -> None:
        """A number with a unit of the file's, on the keypad."""
        low, high = _LIMITS[unit] if unit in _LIMITS else limits_in(unit)
        self._nav.ask_number(NumberRequest(what, SHOWN.get(unit, unit), low, high, 4, True), done, back)

    def _band(self, request: FieldRequest, done: Callable[[Answer], None], back: Callable[[], None]) -> None:
        unit = _unit(request) or "pH"
        self.band(request.title, unit, done, back)

    def band(self, what: str, unit: str, done: Callable[[Answer], None], back: Callable[[], None]) -> None:
        """Two limits, the lower one first."""
        plain = "" if unit == "pH" else unit

        def low_typed(low: float) -> None:
            self.number(
                tr("{what}, at most", what=what),
                unit,
                lambda high: done(f"{_said(low, plain)} to {_said(high, plain)}"),
                back,
            )

        self.number(tr("{what}, at least", what=what), unit, low_typed, back)

    def _choice(
        self, request: FieldRequest, done: Callable[[Answer], None], back: Callable[[], None], number: int = 0
    ) -> None:
        choices = [c for c in request.choices if c] + ([] if request.field.needed else [LEFT_OUT])

        def picked(choice: str) -> None:
            done("" if choice == LEFT_OUT else choice)

        turn = partial(self._choice, request, done, back)
        self._nav.ask_choice(request.title, choices, picked, Paging(back, turn, number))

    def _marked(
        self,
        request: FieldRequest,
        marked: Sequence[str],
        done: Callable[[Answer], None],
        back: Callable[[], None],
        number: int = 0,
    ) -> None:
        """Several of what there is: a press marks one, or takes its mark away. They stand in the order of the marks."""

        def toggle(name: str) -> None:
            others = [x for x in marked if x != name]
            self._marked(request, others if name in marked else [*marked, name], done, back, number)

        rows = [
            RowSpec(name, partial(toggle, name), figure=_place(marked, name), leads=False)
            for name in request.choices
        ]
        turn = partial(self._marked, request, marked, done, back)
        finish = ("Done", lambda: done(list(marked)), "main")
        self._nav.show(RowsPage(self._nav.sizes, request.title, rows, Paging(back, turn, number), [finish]))

    def _written(
        self,
        request: FieldRequest,
        lines: Sequence[str],
        done: Callable[[Answer], None],
        back: Callable[[], None],
        number: int = 0,
    ) -> None:
        """Sentences: a press changes one, an emptied one is taken out; the last row adds one."""
        again = partial(self._written, request, done=done, back=back, number=number)

        def write(n: int) -> None:
            def typed(text: str) -> None:
                changed = [*lines[:n], *([text] if text else []), *lines[n + 1 :]]
                again(lines=changed)

            before = lines[n] if n < len(lines) else ""
            what = f"{request.title}, {n + 1}" + (
                tr("  (what: what is expected)") if request.field.kind is FieldKind.LOOKS else ""
            )
            self._nav.ask_text(what, typed, partial(again, lines=lines), before, SENTENCE_SIGNS)

        rows = [RowSpec(f"{n + 1}", partial(write, n), line) for n, line in enumerate(lines)]
        rows.append(RowSpec(tr("One more"), partial(write, len(lines))))
        turn = partial(self._written, request, lines, done, back)
        finish = ("Done", lambda: done(list(lines)), "main")
        self._nav.show(RowsPage(self._nav.sizes, request.title, rows, Paging(back, turn, number), [finish]))


LEFT_OUT = tr_noop("Leave it out")


def _parts(value: str) -> list[str]:
    return [part for part in value.split("; ") if part]


def _place(marked: Sequence[str], name: str) -> str:
    return f"{list(marked).index(name) + 1}." if name in marked else ""


def _unit(request: FieldRequest) -> str:
    """The unit it has now, else the usual one."""
    written = request.value.split()[-1] if len(request.value.split()) > 1 else ""
    return written if written in request.field.units else (request.field.units or ("",))[0]


def _said(value: float, unit: str) -> str:
    return f"{value:.10g} {unit}".strip()
