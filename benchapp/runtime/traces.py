"""The curve that is kept of each channel."""

#: So many seconds back, and a point so often.
TRACE_S, TRACE_EACH_S = 60.0, 0.5
