"""As what a container is drawn, by its name."""

import pytest


@pytest.mark.parametrize(
    ("name", "shape"),
    [("bottle", "bottle"), ("flask", "bottle"), ("jar", "jar"), ("Tin, 50 g", "jar"), ("tub", "jar"), ("tube", "tube"),
     ("bar", "mould"), ("shampoo bar", "mould"), ("mould", "mould")],
)  # fmt: skip
def test_a_container_has_the_shape_of_its_name(window, name, shape):
    from benchapp.screens.drawings.vessel_drawings import SIZES, shape_of

    assert shape_of(name) == shape
    assert shape in SIZES
