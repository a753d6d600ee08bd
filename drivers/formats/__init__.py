"""Line formats by shape, as data: reading their files, and reading lines with them."""

from drivers.formats.channel_reading import ChannelReading
from drivers.formats.line_format import LineFormat
from drivers.formats.parsing import LineParser, last_unit
from drivers.formats.reading_files import describe, formats_with, load_formats, read_format, shipped_formats

__all__ = [
    "ChannelReading",
    "LineFormat",
    "LineParser",
    "describe",
    "formats_with",
    "last_unit",
    "load_formats",
    "read_format",
    "shipped_formats",
]
