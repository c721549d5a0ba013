"""Invented pictures of every kind that a camera, a phone or somebody with bad intentions sends."""

import io
import struct
import zlib
from typing import Any

from PIL import Image
from PIL.ExifTags import GPS, IFD, Base

PNG_HEAD = b"\x89PNG\r\n\x1a\n"
RED, BLUE = (200, 30, 30), (30, 30, 200)


def encoded(image: Image.Image, form: str, **options: Any) -> bytes:
    """The file of a picture."""
    target = io.BytesIO()
    image.save(target, form, **options)
    return target.getvalue()


def red_above_blue(width: int = 40, height: int = 60) -> Image.Image:
    """A picture that shows which way is up."""
    image = Image.new("RGB", (width, height), BLUE)
    image.paste(RED, (0, 0, width, height // 2))
    return image


def from_a_phone(orientation: int = 1) -> bytes:
    """A JPEG with where it was taken, by what, a thumbnail's place, and a comment."""
    exif = Image.Exif()
    exif[Base.Orientation] = orientation
    exif[Base.Make] = "Invented Phone"
    place = exif.get_ifd(IFD.GPSInfo)
    place[GPS.GPSLatitudeRef], place[GPS.GPSLatitude] = "N", (43.0, 5.0, 0.0)
    return encoded(red_above_blue(), "JPEG", exif=exif, comment=b"Invented Street 5")


def claiming(width: int, height: int, *, depth: int = 8) -> bytes:
    """A PNG of a few bytes that claims to be this large."""
    head = struct.pack(">IIBBBBB", width, height, depth, 2, 0, 0, 0)
    chunks = (b"IHDR" + head, b"IDAT" + zlib.compress(b""), b"IEND")
    return PNG_HEAD + b"".join(
        struct.pack(">I", len(chunk) - 4) + chunk + struct.pack(">I", zlib.crc32(chunk))
        for chunk in chunks
    )


def of_many_scans(scans: int) -> bytes:
    """A progressive JPEG whose last scan comes this many times more."""
    content = encoded(red_above_blue(), "JPEG", progressive=True)
    last = content[content.rfind(b"\xff\xda") : -2]
    return content[:-2] + last * scans + content[-2:]


def moving(form: str) -> bytes:
    """Two pictures that take turns."""
    other = Image.new("RGB", (40, 60), RED)
    return encoded(red_above_blue(), form, save_all=True, append_images=[other], duration=100)
