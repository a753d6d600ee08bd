"""How moments and pages are laid out in a real window, written down for what is asked of them."""

from __future__ import annotations

import dataclasses
import itertools
from dataclasses import dataclass, field

from benchapp.foundation.language import translated
from benchapp.make.next_move import with_news
from benchapp.make.pictures import Outcome
from benchapp.make.view_model import ENOUGH, TOO_MUCH, Choice
from benchapp.make.vocabulary import ChoiceKey, Stage
from benchapp.rehearsal.scenario_reading import find_scenario, scenarios
from benchapp.screens.display.sizes import PANELS, Sizes

CASES = list(itertools.product(PANELS, (False, True)))
NAMES = [f"{p.name} {'large' if big else 'normal'}" for p, big in CASES]


def views_of(make):
    """Each moment of a make that differs from the others in step kind, act, stage, standing or reasons why not."""
    seen: dict[str, object] = {}
    for view in make.moments:
        act = view.prompt.split("#")[0].split("/")[-1].split(" ")[0]
        standing = [live.word for live in view.act_view.live]
        key = f"{view.step_kind} {act} {view.act_view.stage} {standing} {len(view.act_view.not_yet)}"
        key += "" if view.meanwhile is None else " beside a wait"
        longer = len(view.act_view.instruction) + len(view.act_view.note)
        if key not in seen or longer > seen[key][0]:
            seen[key] = (longer, view)
    called_in_a_pour(seen)
    poured_too_much(seen)
    slipped(seen)
    return {key: view for key, (_, view) in seen.items()}


def called_in_a_pour(seen):
    """The same pour beside a wait, but the wait calls."""
    for key, (longer, view) in list(seen.items()):
        if view.meanwhile is not None and " pour " in key:
            calls = "The water pot is at 76.4 °C, too hot: turn its heat down now."
            calling = dataclasses.replace(view.meanwhile, calls=calls)
            seen[f"{key} that calls"] = (longer, dataclasses.replace(view, meanwhile=calling))


def poured_too_much(seen):
    """The same pour past its band: while it is poured, and when it has come to rest and is to be made good."""
    key, (longer, view) = next((k, x) for k, x in seen.items() if k.endswith("weigh pour  ['below'] 0"))
    face, target = view.act_view, view.act_view.picture.target_g
    live = dataclasses.replace(face.live[0], value=target + 3.66, word="far above", to_go=-3.66)
    name = face.live[0].name
    face = dataclasses.replace(
        face, live=(live,), picture=dataclasses.replace(face.picture, net_g=target + 3.66), not_yet=(TOO_MUCH,),
        instruction=f"Stop. 3.66 g of {name} too much.", move=ENOUGH,
    )  # fmt: skip
    seen[f"{key} past the band"] = (longer, dataclasses.replace(view, act_view=face))
    remedies = (
        Choice(ChoiceKey.REMOVE, "Take some out", serious=True, effect="Spoon 3.66 g into the waste", outcome=Outcome(500.0, waste_g=3.66)),
        Choice(ChoiceKey.KEEP, "Make a larger batch", serious=True, effect="Add 102.40 g of the others now", outcome=Outcome(500.0, more_g=108.0)),
        Choice(ChoiceKey.ACCEPT, "Accept over the limit", serious=True, reason=True, effect="23.66 g stay in: the formula is off", outcome=Outcome(500.0, over_g=3.66)),
    )  # fmt: skip
    choose = dataclasses.replace(
        face,
        stage=Stage.REMEDY,
        instruction=f"Too much {name}. What now?",
        choices=remedies,
        not_yet=(),
        move="Choose",
    )
    seen[f"{key} to be made good"] = (longer, dataclasses.replace(view, act_view=choose))


def slipped(seen):
    """The same pour, in a rehearsal in which the bottle has slipped; and a moment of each kind in which a scenario begins, with
    what is said of what happens there."""
    key, (longer, view) = next((k, x) for k, x in seen.items() if k.endswith("weigh pour  ['below'] 0"))
    says = {name: happening(name) for name in scenarios()}
    seen[f"{key} that slipped"] = (
        longer,
        dataclasses.replace(view, act_view=with_news(view.act_view, says["over-pour"], True)),
    )
    for name, text in says.items():
        begins = find_scenario(name).begins
        like = f"{begins.step.partition('-')[2].replace('-', ' ')} {begins.act.split(' ')[0]}"
        at = next(
            (
                k
                for k, (_, v) in seen.items()
                if k.startswith(like) and begins.stage in ("", v.act_view.stage)
            ),
            None,
        )
        if text and at is not None:
            longer, view = seen[at]
            told = dataclasses.replace(view, act_view=with_news(view.act_view, text, False))
            seen[f"{at} with news of {name}"] = (longer, told)


def happening(name):
    """What a scenario says of what happens in it, as it is read here."""
    return " ".join(translated(one.says) for one in find_scenario(name).happens if one.says)


@dataclass(frozen=True)
class Text:
    """Words as they were laid out, in pixels."""

    words: str
    x: float
    y: float
    right: float
    top: float
    font: float
    broken: bool = False  # whether a word is too wide for its line


@dataclass(frozen=True)
class Laid:
    """One moment as it was laid out on one panel."""

    name: str
    view: object
    panel: object
    texts: tuple[Text, ...]
    buttons: tuple[tuple[Text, float], ...]  # (label and the button's box, height of the words in it)
    instruction_font: float
    reading_fonts: tuple[tuple[float, str], ...]  # (font, source)
    drawing: Text | None
    drawing_texts: tuple[Text, ...]
    large: bool
    kinds: tuple[str, ...] = ()  # of the presses
    effects: tuple[Text, ...] = ()  # what stands under their words
    pages_fit: tuple[bool, ...] = field(default=())
    sheets: tuple[
        tuple[str, tuple[tuple[Text, bool, bool], ...]], ...
    ] = ()  # (sheet, (box, is a press, fits))


def lay_out(screen, name, view, with_sheets):
    """Draw a moment and write down where everything went."""
    screen.show(view)
    d = screen.work.drawing
    fits = []
    for _ in range(len(screen.pages.pages) if screen.pages else 0):
        fits.append(screen.pages.fits)
        screen.pages.turn()
    return Laid(
        name, view, screen.panel, tuple(_texts(screen)),
        tuple((Text(a.caption.text, a.x, a.y, a.right, a.top, a.caption.font_size, broken(a.caption)),
               a.caption.texture_size[1]) for a in screen.buttons),
        screen.work.instruction.font_size,
        tuple((r.number.font_size, live.source) for r, live in zip(screen.work.readouts.all, view.act_view.live, strict=True)),
        Text("<drawing>", d.x, d.y, d.right, d.top, 0) if d.width else None,
        tuple(Text(w, x, y, x + wide, y + high, 0) for w, x, y, wide, high in d.texts),
        large=screen.sizes == Sizes.of(screen.panel, large=True), kinds=tuple(press.kind for press in screen.buttons),
        effects=tuple(Text(e.text, e.x, e.y, e.x + e.texture_size[0], e.top, e.font_size, broken(e))
              for press in screen.buttons if (e := press.detail) is not None),
        pages_fit=tuple(fits), sheets=tuple(sheets_of(screen)) if with_sheets else (),
    )  # fmt: skip


def sheets_of(screen):
    """Every page of "More", and what opens from there, laid out over this moment."""
    screen.show_details()
    for page in range(len(screen.overlay.pages)):
        yield f"more {page + 1}", _boxes(screen.overlay)
        screen.overlay.turn()
    screen.show_stop()
    yield "stop here", _boxes(screen.overlay)
    if screen.view.act_view.ask is not None:
        screen.show_keypad()
        yield "keypad", _boxes(screen.overlay)
    screen.close_overlay()


def _boxes(sheet):
    from benchapp.screens.widgets.button import TouchButton

    boxes = []
    for w in sheet.children:
        press = isinstance(w, TouchButton)
        words = w.caption if press else w
        if not getattr(words, "text", "").strip():  # a sign
            continue
        right = w.right if press else w.x + w.texture_size[0]
        inside = not broken(words) and (not press or words.texture_size[1] <= w.height)
        boxes.append((Text(words.text, w.x, w.y, right, w.top, words.font_size), press, inside))
    return tuple(boxes)


def _texts(screen):
    from benchapp.screens.widgets.text_label import TextLabel

    def walk(widget):
        for child in widget.children:
            if isinstance(child, TextLabel) and child.text.strip() and child.width > 0:
                yield child
            yield from walk(child)

    for w in walk(screen):
        if w.parent not in screen.buttons:
            yield Text(w.text, w.x, w.y, w.x + w.texture_size[0], w.top, w.font_size, broken(w))


def broken(words):
    """Whether one of the words alone is wider than the line it has to stand on."""
    from benchapp.screens.drawings.typeset import typeset

    width = words.text_size[0]
    if width is None:
        return False
    ruler = typeset(size=words.font_size, bold=words.bold)
    return any(ruler.get_extents(word)[0] > width + 1 for word in words.text.split())


class Nobody:
    """A maker who does nothing."""

    def __getattr__(self, name):
        return lambda *_: None


def words_in(view):
    """How much "More" has to say of it."""
    return sum(len(text) for text in (view.act_view.note, *view.act_view.not_yet, view.take_back))


def words_in_order(page):
    """The words of a page as they were put on it."""
    return [label.text for label in page.texts]
