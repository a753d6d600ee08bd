"""What a pH buffer reads at its own temperature."""

from __future__ import annotations

from benchapp.foundation.language import tr

TEMPS_C = (0.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0)
#: pH at TEMPS_C. phthalate, phosphate, borax: NIST-type primary buffers (JIS Z 8802 agrees within 0.01); 7.00
#: and 10.01 as usual technical buffers. Read from secondary tables: the bottle's own label goes first.
BUFFERS = {
    "phthalate": (4.000, 3.997, 3.998, 4.001, 4.005, 4.011, 4.027, 4.050),
    "phosphate": (6.984, 6.923, 6.900, 6.881, 6.865, 6.853, 6.838, 6.833),
    "borax": (9.464, 9.332, 9.276, 9.225, 9.180, 9.139, 9.068, 9.010),
    "7.00": (7.118, 7.059, 7.036, 7.016, 7.000, 6.987, 6.970, 6.964),
    "10.01": (10.317, 10.179, 10.118, 10.062, 10.012, 9.966, 9.889, 9.828),
}

#: What stands on the bottle of those that a table calls by what is in them: their pH at 25 °C.
ON_THE_BOTTLE = {"phthalate": "4.01 (phthalate)", "phosphate": "6.86 (phosphate)", "borax": "9.18 (borax)"}


def buffer_ph(buffer: str, temp_c: float) -> float:
    """pH of a named buffer at its temperature, straight between the tabulated ones.

    Raises ValueError for a buffer that is not in the table or a temperature outside 0 to 50 °C.
    """
    if buffer not in BUFFERS:
        raise ValueError(
            tr(
                "no buffer is called {buffer!r}; choose one of {names}",
                buffer=buffer,
                names=", ".join(BUFFERS),
            )
        )
    if not TEMPS_C[0] <= temp_c <= TEMPS_C[-1]:
        raise ValueError(tr("the buffer is at {temp_c:g} °C; its table goes from 0 to 50 °C", temp_c=temp_c))
    values = BUFFERS[buffer]
    last = len(TEMPS_C) - 2
    i = next((k for k in range(last) if temp_c <= TEMPS_C[k + 1]), last)
    share = (temp_c - TEMPS_C[i]) / (TEMPS_C[i + 1] - TEMPS_C[i])
    return values[i] + share * (values[i + 1] - values[i])
