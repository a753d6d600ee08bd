"""The bench before a make: devices and their checks, settings, which procedure and how much."""
