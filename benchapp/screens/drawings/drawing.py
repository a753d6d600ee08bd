"""One widget that draws whatever picture the view has; labels are laid beside the shapes, never inside them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.uix.widget import Widget

from benchapp.make import pictures
from benchapp.screens.display.figures import Figures
from benchapp.screens.drawings.batch_drawings import draw_pour_over, draw_titration
from benchapp.screens.drawings.canvas import PLAIN, Canvas
from benchapp.screens.drawings.finished_batch import draw_batch
from benchapp.screens.drawings.rule_drawings import draw_band, draw_list, draw_timer, draw_vessel
from benchapp.screens.drawings.temperature_drawings import draw_cool, draw_heat
from benchapp.screens.drawings.vessel_drawings import draw_bottles

DRAWINGS: dict[type, Callable[[Canvas, Any], None]] = {
    pictures.VesselPicture: draw_vessel, pictures.HeatPicture: draw_heat, pictures.CoolPicture: draw_cool, pictures.TimerPicture: draw_timer,
    pictures.ListPicture: draw_list, pictures.BandPicture: draw_band, pictures.BottlesPicture: draw_bottles,
    pictures.PourOverPicture: draw_pour_over, pictures.TitrationPicture: draw_titration, pictures.BatchPicture: draw_batch,
}  # fmt: skip


class Drawing(Widget):
    """The picture of the view. ``font`` is the size of its labels, ``figures`` how numbers are written."""

    def __init__(self, font: int, figures: Figures = PLAIN) -> None:
        super().__init__(size_hint=(None, None))
        self.font, self.figures = font, figures  # the font may be another one for another kind of picture
        self.picture: pictures.Picture = None
        self.texts: list[tuple[str, float, float, float, float]] = []
        self._drawn: tuple[Any, ...] = ()

    def show(self, picture: pictures.Picture) -> None:
        """Draw it, if it or the place for it changed."""
        key = (picture, tuple(self.pos), tuple(self.size))
        if key == self._drawn:
            return
        self._drawn, self.picture = key, picture
        self.canvas.clear()
        draw = DRAWINGS.get(type(picture))
        if draw is None or not self.width:
            self.texts = []
            return
        with self.canvas:
            place = Canvas(self.x, self.y, self.width, self.height, self.font, self.figures)
            draw(place, picture)
        self.texts = place.texts
