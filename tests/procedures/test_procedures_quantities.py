"""Text with a unit into numbers, and the traps that a lenient parser falls into."""

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procedures import quantities as q
from procedures.errors import QuantityError
from procedures.quantities import quantity


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("500 g", q.MASS, 500.0),
        ("0.5 kg", q.MASS, 500.0),
        ("250 mg", q.MASS, 0.25),
        # NIST Handbook 44, Appendix C: exact
        ("1 oz", q.MASS, 28.349523125),
        ("1 lb", q.MASS, 453.59237),
        ("1 US fl oz", q.VOLUME, 29.5735295625),
        ("1 UK fl oz", q.VOLUME, 28.4130625),
        ("1.5 l", q.VOLUME, 1500.0),
        ("70 degC", q.TEMPERATURE, 70.0),
        ("70°C", q.TEMPERATURE, 70.0),
        ("212 degF", q.TEMPERATURE, 100.0),
        ("-40 °F", q.TEMPERATURE, -40.0),
        ("5 K", q.DIFFERENCE, 5.0),
        ("2 delta_degC", q.DIFFERENCE, 2.0),
        ("9 delta_degF", q.DIFFERENCE, 5.0),
        ("10 min", q.TIME, 600.0),
        ("1 day", q.TIME, 86400.0),
        ("24 h", q.TIME, 86400.0),
        ("3 %", q.PERCENT, 3.0),
        ("101 %", q.YIELD, 101.0),
        ("4 cm", q.LENGTH, 40.0),
        ("0.98 kg/l", q.DENSITY, 0.98),
        ("180 J/g", q.MELTING_HEAT, 180.0),
        ("180 kJ/kg", q.MELTING_HEAT, 180.0),
    ],
)
def test_reads(text, kind, value):
    assert quantity(text, kind) == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "kind", "says", "advises"),
    [
        ("10 C", q.TEMPERATURE, '"C" alone is not a unit of temperature', '"10 degC"'),
        ("1,5 g", q.MASS, "has a comma in the number", 'a point as in "1.5"'),
        ("1,500 g", q.MASS, "has a comma in the number", "point"),
        ("10 kg 5", q.MASS, "is not one number and one unit", '"500 g"'),
        ("1e400 g", q.MASS, "has an exponent", "written out"),
        ("9**9**9 g", q.MASS, "is not one number and one unit", '"500 g"'),
        ("1_000 g", q.MASS, "is not one number and one unit", '"500 g"'),
        ("500", q.MASS, '"500" has no unit', '"500 g"'),
        (500, q.MASS, "500 has no unit", "in quotes"),
        (True, q.MASS, "a mass is missing here", "in quotes"),
        (None, q.MASS, "a mass is missing here", "in quotes"),
        ("", q.MASS, "is not one number and one unit", '"500 g"'),
        ("g", q.MASS, "is not one number and one unit", '"500 g"'),
        ("nan g", q.MASS, "is not one number and one unit", '"500 g"'),
        ("inf g", q.MASS, "is not one number and one unit", '"500 g"'),
        ("٣ g", q.MASS, "is not one number and one unit", '"500 g"'),
        ("3 grams", q.MASS, '"grams" is not a unit for a mass', "g, kg, mg, oz, lb"),
        ("3 G", q.MASS, '"G" is not a unit for a mass', "g, kg"),
        ("3 m", q.TIME, '"m" is not a unit for a time', "s, min, h"),
        ("3 ml", q.MASS, '"ml" is not a unit for a mass', "g, kg"),
        ("8 fl oz", q.VOLUME, '"fl oz" is not the same everywhere', "US fl oz"),
        ("2 degC", q.DIFFERENCE, "is a temperature, and a temperature difference is wanted", '"2 K"'),
        (
            "2 degF",
            q.DIFFERENCE,
            "is a temperature, and a temperature difference is wanted",
            '"2 delta_degF"',
        ),
        ("343 K", q.TEMPERATURE, "is a temperature difference, and a temperature is wanted", "degC"),
        ("5000 degC", q.TEMPERATURE, "is no sensible value for a temperature", "between -40 and 250 degC"),
        ("-5 g", q.MASS, "is no sensible value for a mass", "between 0"),
        ("1" + "0" * 400 + " g", q.MASS, "is not one number and one unit", '"500 g"'),
        ("500 g\n600 g", q.MASS, "is not one number and one unit", '"500 g"'),
    ],
)
def test_trap_gets_one_clear_sentence(text, kind, says, advises):
    with pytest.raises(QuantityError) as error:
        quantity(text, kind)
    assert says in error.value.what
    assert advises in error.value.instead
    assert "\n" not in str(error.value)


@given(st.integers(0, 10**9), st.integers(0, 6), st.sampled_from([("g", 1), ("kg", 1000)]))
def test_any_decimal_mass_is_read_exactly(digits, places, unit):
    number = Decimal(digits).scaleb(-places)
    written = f"{number:f}"
    name, factor = unit
    grams = number * factor
    if len(written.split(".")[0]) > 9 or grams > 10**6:
        with pytest.raises(QuantityError):
            quantity(f"{written} {name}", q.MASS)
    else:
        assert quantity(f"{written} {name}", q.MASS) == pytest.approx(float(grams), rel=1e-9, abs=1e-9)


def grams_or_refusal(text):
    try:
        return quantity(text, q.MASS)
    except QuantityError as error:
        return error


@given(
    st.text(max_size=60) | st.from_regex(r"[0-9]{1,4}[.,]?[0-9]{0,3} ?(g|kg|mg|oz|lb|ml|K)?", fullmatch=True)
)
def test_any_text_is_read_or_refused_in_words(text):
    outcome = grams_or_refusal(text)
    if isinstance(outcome, QuantityError):
        assert outcome.what
        assert outcome.instead
    else:
        assert re.fullmatch(r"\s*[+-]?[0-9.]+\s*(g|kg|mg|oz|lb)\s*", text)
        assert 0 <= outcome <= 1e6


@pytest.mark.parametrize("unit", ["minute", "hour", "day"])
def test_the_units_of_time_are_those_of_pint(unit):
    import pint

    from procedures.quantities import _converted

    theirs = pint.UnitRegistry().Quantity(1.75, unit).m_as("second")
    assert _converted(1.75, unit, "second") == pytest.approx(theirs, rel=1e-15)
