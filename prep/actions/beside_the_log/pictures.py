"""Pictures as they are kept: decoded whole, upright, small enough, and nothing but the picture.

What a camera writes beside the picture (location, thumbnails, comments, color profiles) is left
out: a picture is drawn anew from its decoded points. So nothing that a file only pretends to be is
ever kept, or sent to a browser.
"""

import hashlib
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil
from threading import BoundedSemaphore
from typing import Final

from PIL import Image, ImageCms, UnidentifiedImageError
from PIL.ExifTags import Base

from prep.record.refusal import Refusal

MOST_BYTES: Final = 12 * 1024 * 1024
MOST_POINTS: Final = 40_000_000
MOST_SCANS: Final = 100  # a progressive JPEG of a camera has about ten
MOST_MARKERS: Final = 5000
START_OF_SCAN, END_OF_IMAGE = 0xDA, 0xD9
MOST_PROFILE: Final = 1024 * 1024
SMALL_SIDE: Final = 320
SMALL_BYTES: Final = 32 * 1024
FORMATS: Final = ("JPEG", "PNG", "WEBP")
# A phone's JPEG with a depth map or a preview behind the picture; the first one is the picture.
SEVERAL_IN_ONE: Final = "MPO"
WHITE: Final = (255, 255, 255)
# How to turn a picture, by its EXIF orientation (Exif 2.32, tag 274; 1 is upright).
TURNS: Final = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
# A marker that has a length, or the end; within a scan, FF 00 is a point and FF D0 to FF D7 go on.
_MARKER: Final = re.compile(rb"\xff+[^\x00\xff\xd0-\xd8\x01]")
_DECODING: Final = BoundedSemaphore(2)  # pictures at once in a process: each takes up to 200 MB


@dataclass(frozen=True)
class PictureSort:
    """A sort of picture: the folder of its files, and how large it is kept.

    One with `see_through` parts keeps them (as PNG); otherwise they become white (JPEG).
    """

    folder: str
    side: int
    most_bytes: int = MOST_BYTES
    see_through: bool = False

    @property
    def ending(self) -> str:
        """The ending of its files' names."""
        return "png" if self.see_through else "jpg"

    def file(self, digest: str) -> str:
        """Name of the file with this SHA-256, in hex, in the storage."""
        return f"{self.folder}/{digest[:2]}/{digest}.{self.ending}"


PHOTO: Final = PictureSort("photos", side=2560)
LOGO: Final = PictureSort("logos", side=640, most_bytes=1024 * 1024, see_through=True)
SORTS: Final = {"photo": PHOTO, "logo": LOGO}


@dataclass(frozen=True)
class PictureFile:
    """A file of a picture, by its SHA-256 in hex."""

    digest: str
    content: bytes


@dataclass(frozen=True)
class ReadPicture:
    """A picture as it is to be kept, with a small copy; `sent` is the SHA-256 of what came."""

    sort: PictureSort
    sent: str
    large: PictureFile
    small: PictureFile

    @property
    def files(self) -> dict[str, bytes]:
        """Its files by their names."""
        return {self.sort.file(one.digest): one.content for one in (self.large, self.small)}


def read_picture(content: bytes | None, sort: PictureSort = PHOTO) -> ReadPicture:
    """Decode a picture; Refusal where there is none, or it cannot be kept."""
    if not content:
        raise Refusal("photo-missing", field="photo")
    if len(content) > sort.most_bytes:
        raise Refusal("photo-too-large", field="photo", most=sort.most_bytes // 1024**2)
    with _DECODING:
        upright = _upright(content, sort.side)
        large = _drawn_anew(upright, sort)
    whole = _encoded(large, sort)
    small = whole if max(large.size) <= SMALL_SIDE else _small(large, sort)
    return ReadPicture(sort, hashlib.sha256(content).hexdigest(), _file(whole), _file(small))


def _file(content: bytes) -> PictureFile:
    return PictureFile(hashlib.sha256(content).hexdigest(), content)


def _upright(content: bytes, side: int) -> Image.Image:
    """The decoded picture, no larger than `side`, with 8 bits a channel in sRGB."""
    if content.startswith(b"\xff\xd8"):
        _check_scans(content)
    try:
        opened = Image.open(io.BytesIO(content), formats=FORMATS)
    except Image.DecompressionBombError:
        raise _too_many_points() from None
    except UnidentifiedImageError:
        raise Refusal("not-a-photo", field="photo") from None
    except Exception as wrong:  # a format's reader raises errors of its own at a damaged header
        raise _damaged() from wrong
    with opened:
        _check(opened)
        try:
            share = min(side / max(opened.size), 1)
            # A JPEG is decoded at a half or a quarter where that is still as large as it is kept.
            opened.draft(opened.mode, (ceil(opened.width * share), ceil(opened.height * share)))
            opened.load()
            turn = TURNS.get(_orientation(opened) or 1)
            plain = _eight_bits(opened)
            plain.thumbnail((side, side), Image.Resampling.LANCZOS)
        except Exception as wrong:  # the same at a damaged body
            raise _damaged() from wrong
    return plain if turn is None else plain.transpose(turn)


def _check(opened: Image.Image) -> None:
    if opened.width * opened.height > MOST_POINTS:
        raise _too_many_points()
    if opened.format != SEVERAL_IN_ONE and getattr(opened, "is_animated", False):
        raise Refusal("photo-moving", field="photo")


def _too_many_points() -> Refusal:
    return Refusal("photo-too-many-points", field="photo", most=MOST_POINTS // 10**6)


def _damaged() -> Refusal:
    return Refusal("photo-damaged", field="photo")


def _orientation(image: Image.Image) -> int | None:
    try:
        return image.getexif().get(Base.Orientation)
    except Exception:  # what a camera wrote beside the picture is no part of it
        return None


def _eight_bits(image: Image.Image) -> Image.Image:
    """The picture with 8 bits a channel, in sRGB, with its see-through parts if it has any."""
    if image.mode.startswith("I"):  # 16 bits of gray; a plain conversion would cut off at 255
        image = image.convert("I").point(lambda value: value * (1 / 256)).convert("L")
    see_through = image.mode in {"RGBA", "LA", "PA"} or "transparency" in image.info
    standard = None if see_through else _in_srgb(image)
    wanted = "RGBA" if see_through else "RGB"
    return standard or (image if image.mode == wanted else image.convert(wanted))


def _in_srgb(image: Image.Image) -> Image.Image | None:
    """The picture in sRGB by its color profile; None without one, or where it is of no use."""
    profile = image.info.get("icc_profile")
    if not profile or len(profile) > MOST_PROFILE or image.mode not in {"RGB", "CMYK", "L"}:
        return None
    try:
        return ImageCms.profileToProfile(
            image, io.BytesIO(profile), ImageCms.createProfile("sRGB"), outputMode="RGB"
        )
    except (ImageCms.PyCMSError, OSError, ValueError):
        return None


def _drawn_anew(image: Image.Image, sort: PictureSort) -> Image.Image:
    """The points of a picture and nothing else of its file."""
    if sort.see_through:
        anew = Image.new("RGBA", image.size)
        anew.paste(image)
        return anew
    anew = Image.new("RGB", image.size, WHITE)
    anew.paste(image, mask=image if image.mode == "RGBA" else None)
    return anew


def _encoded(image: Image.Image, sort: PictureSort, quality: int = 85) -> bytes:
    target = io.BytesIO()
    if sort.see_through:
        image.save(target, "PNG", optimize=True)
    else:
        image.save(target, "JPEG", quality=quality, optimize=True, progressive=True)
    return target.getvalue()


def _small(large: Image.Image, sort: PictureSort) -> bytes:
    """The small copy: as good as fits into SMALL_BYTES."""
    image = large.copy()
    image.thumbnail((SMALL_SIDE, SMALL_SIDE))
    for quality in (80, 60, 40, 20):
        content = _encoded(image, sort, quality)
        if sort.see_through or len(content) <= SMALL_BYTES:
            break
    return content


def _check_scans(content: bytes) -> None:
    """Refuse a JPEG with more scans than any camera writes: each takes a pass over all points."""
    scans = 0
    for count, marker in enumerate(_markers(content)):
        scans += marker == START_OF_SCAN
        if scans > MOST_SCANS or count > MOST_MARKERS:
            raise _damaged()


def _markers(content: bytes) -> Iterator[int]:
    """The markers of a JPEG up to its end (ITU-T T.81, B.1.1), whatever lies behind it."""
    place = 2
    while found := _MARKER.search(content, place):
        marker = content[found.end() - 1]
        if marker == END_OF_IMAGE:
            return
        yield marker
        length = int.from_bytes(content[found.end() : found.end() + 2], "big")
        place = found.end() + length
