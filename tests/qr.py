"""Reads QR codes back from pictures, with a library that did not draw them."""

import re

import zxingcpp
from PIL import Image, ImageDraw

SCALE = 6  # pixels a module


def read(picture: Image.Image) -> str:
    """The text of the one code in a picture."""
    found = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
    assert len(found) == 1, f"{len(found)} codes in the picture"
    return found[0].text


def drawn(svg: bytes) -> Image.Image:
    """The picture that our SVG of a code describes: rows of dark modules, one unit each."""
    text = svg.decode()
    width, height = map(int, re.search(r'viewBox="0 0 (\d+) (\d+)"', text).groups())
    picture = Image.new("L", (width * SCALE, height * SCALE), 255)
    pen = ImageDraw.Draw(picture)
    x = y = 0.0
    path = re.search(r'stroke="#000"[^>]* d="([^"]+)"', text)[1]
    for command, numbers in re.findall(r"([Mmh])([-\d. ]+)", path):
        values = [float(each) for each in numbers.split()]
        if command == "h":
            pen.rectangle(
                (x * SCALE, (y - 0.5) * SCALE, (x + values[0]) * SCALE - 1, (y + 0.5) * SCALE - 1), fill=0
            )
            x += values[0]
        else:
            x, y = values if command == "M" else (x + values[0], y + values[1])
    return picture
