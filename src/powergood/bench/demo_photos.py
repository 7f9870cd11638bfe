"""Drawn pictures for the demo workshop in place of photos: invented machines, no maker's marks."""

from __future__ import annotations

from io import BytesIO

from PIL import Image, ImageDraw

SIZE = (1200, 900)
BENCH, CASE, EDGE, DARK, KEY = "#b79b74", "#8b8a82", "#4e4d47", "#1d1f22", "#cfccc0"
BRASS, GREEN, SALT = "#b08d3c", "#3f6b4f", "#f2f1ea"


def _bench() -> tuple[Image.Image, ImageDraw.ImageDraw]:
    image = Image.new("RGB", SIZE, BENCH)
    draw = ImageDraw.Draw(image)
    for y in range(0, SIZE[1], 45):
        draw.line((0, y, SIZE[0], y + 12), fill="#ad9068", width=3)
    return image, draw


def _png(image: Image.Image) -> bytes:
    data = BytesIO()
    image.save(data, "PNG")
    return data.getvalue()


def _keys(draw: ImageDraw.ImageDraw, left: int, top: int, columns: int = 14, rows: int = 5) -> None:
    for row in range(rows):
        for column in range(columns):
            x, y = left + column * 56 + row * 8, top + row * 40
            draw.rounded_rectangle((x, y, x + 48, y + 32), 5, fill=KEY, outline=EDGE)


def dark_screen() -> bytes:
    """Return a picture of an open laptop with a lit lamp and a dark screen."""
    image, draw = _bench()
    draw.rounded_rectangle((200, 70, 1000, 500), 18, fill=CASE, outline=EDGE, width=4)
    draw.rectangle((270, 125, 930, 450), fill=DARK, outline=EDGE, width=3)
    draw.polygon((170, 520, 1030, 520, 1120, 850, 80, 850), fill=CASE, outline=EDGE)
    _keys(draw, 190, 540)
    draw.ellipse((575, 775, 625, 825), fill=EDGE)
    draw.ellipse((960, 505, 978, 518), fill="#7ad07a")
    return _png(image)


def closed_lid(*, salt: bool = False) -> bytes:
    """Return a picture of a closed laptop seen from its left, with salt at the sockets where wanted."""
    image, draw = _bench()
    draw.polygon((180, 330, 1060, 270, 1120, 480, 140, 560), fill=CASE, outline=EDGE)
    draw.polygon((140, 560, 1120, 480, 1120, 560, 140, 650), fill="#76756d", outline=EDGE)
    for number in range(5):
        x = 220 + number * 120
        draw.rectangle((x, 585 - number * 9, x + 80, 615 - number * 9), fill=DARK)
        if salt:
            for spot in range(7):
                at = (x + spot * 13, 578 - number * 9 + (spot * 7) % 30)
                draw.ellipse((*at, at[0] + 9, at[1] + 7), fill=SALT)
    draw.polygon((840, 640, 930, 632, 936, 690, 846, 698), fill="#e9dfc2", outline=EDGE)
    return _png(image)


def open_hatch() -> bytes:
    """Return a picture of an open memory hatch with two modules, one standing out of its socket."""
    image, draw = _bench()
    draw.rounded_rectangle((140, 100, 1060, 800), 20, fill=CASE, outline=EDGE, width=4)
    draw.rectangle((320, 260, 880, 640), fill=DARK, outline=EDGE, width=4)
    for top, tilt in ((300, 0), (480, 22)):
        draw.polygon((360, top, 840, top + tilt, 840, top + 110 + tilt, 360, top + 110), fill=GREEN)
        for chip in range(4):
            x = 390 + chip * 110
            draw.rectangle((x, top + 20 + tilt // 2, x + 80, top + 70 + tilt // 2), fill=DARK)
        draw.line((360, top + 108, 840, top + 108 + tilt), fill=BRASS, width=8)
    return _png(image)


def lifted_keyboard() -> bytes:
    """Return a picture of a keyboard tipped forward with its ribbon still plugged in."""
    image, draw = _bench()
    draw.rounded_rectangle((150, 60, 1050, 470), 18, fill="#6f6e66", outline=EDGE, width=4)
    draw.rectangle((240, 120, 960, 410), fill=GREEN, outline=EDGE, width=3)
    for number in range(6):
        x = 280 + number * 112
        draw.rectangle((x, 170, x + 74, 230), fill=DARK)
    draw.polygon((520, 380, 680, 380, 690, 560, 510, 560), fill="#d9b36a", outline=EDGE)
    draw.rounded_rectangle((150, 550, 1050, 830), 14, fill=CASE, outline=EDGE, width=4)
    _keys(draw, 185, 585)
    return _png(image)
