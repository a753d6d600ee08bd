"""Reading printed pages back with tools that did not write them: poppler for text and picture, a code reader."""

from __future__ import annotations

import io
import subprocess

import zxingcpp
from PIL import Image


def text_of(pdf: bytes) -> list[str]:
    """The text of each page, laid out as on paper."""
    done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True, timeout=30)  # fmt: skip
    assert not done.stderr, done.stderr
    return done.stdout.decode().split("\f")[:-1]


def picture_of(pdf: bytes, page: int, dots_per_inch: int = 120) -> Image.Image:
    """One page as a picture; pages count from 1."""
    command = ["pdftoppm", "-r", str(dots_per_inch), "-f", str(page), "-l", str(page), "-png", "-"]
    done = subprocess.run(command, input=pdf, capture_output=True, check=True, timeout=30)
    return Image.open(io.BytesIO(done.stdout)).convert("RGB")


def codes_on(picture: Image.Image) -> list[zxingcpp.Barcode]:
    """Every code a reader finds."""
    return list(zxingcpp.read_barcodes(picture))


def sizes_of(pdf: bytes) -> tuple[float, float]:
    """Page width and height in points, as poppler reads them."""
    done = subprocess.run(["pdfinfo", "-"], input=pdf, capture_output=True, check=True, timeout=30)
    line = next(x for x in done.stdout.decode().splitlines() if x.startswith("Page size"))
    words = line.split()
    return float(words[2]), float(words[4])


def fonts_of(pdf: bytes) -> list[str]:
    """For each typeface in the file, whether it is embedded ("yes" or "no")."""
    done = subprocess.run(["pdffonts", "-"], input=pdf, capture_output=True, check=True, timeout=30)
    return [line.split()[-5] for line in done.stdout.decode().splitlines()[2:]]
