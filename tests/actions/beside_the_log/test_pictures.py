"""Pictures as they are kept: upright, bounded, in sRGB, and nothing but the picture."""

import hashlib
import io
import os

import pytest
from PIL import Image, ImageCms

from prep.actions.beside_the_log.pictures import LOGO, PHOTO, read_picture
from prep.record.refusal import Refusal
from tests.invented_pictures import (
    BLUE,
    RED,
    claiming,
    encoded,
    from_a_phone,
    moving,
    of_many_scans,
    red_above_blue,
)

# Each format with its ways to keep colors.
READABLE = [
    *(("JPEG", mode) for mode in ("RGB", "L", "CMYK")),
    *(("PNG", mode) for mode in ("RGB", "L", "P", "RGBA", "LA", "1")),
    *(("WEBP", mode) for mode in ("RGB", "L", "RGBA", "LA", "P")),
]
GRAY = Image.linear_gradient("L")  # 256 by 256: black above, white below


def opened(content: bytes) -> Image.Image:
    """A picture as a browser would read it."""
    image = Image.open(io.BytesIO(content))
    image.load()
    return image


def kept(content: bytes) -> Image.Image:
    """What is kept of a picture."""
    return opened(read_picture(content).large.content)


def near(one: object, other: tuple[int, ...], by: int = 12) -> bool:
    """Whether a point has a color, but for what a JPEG changes."""
    assert isinstance(one, tuple)
    return all(abs(a - b) <= by for a, b in zip(one, other, strict=True))


def refused(content: bytes | None) -> Refusal:
    """The refusal of a picture."""
    with pytest.raises(Refusal) as no:
        read_picture(content)
    assert no.value.field == "photo"
    return no.value


def test_where_a_photo_was_taken_is_not_kept() -> None:
    """Nor by what, nor the comment, nor any color profile."""
    sent = from_a_phone()
    assert b"Invented Phone" in sent
    assert b"Invented Street" in sent
    read = read_picture(sent)
    for file in (read.large, read.small):
        assert b"Exif" not in file.content
        assert b"Invented" not in file.content
        assert not opened(file.content).getexif()
        assert "icc_profile" not in opened(file.content).info


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_photo_is_turned_upright(orientation: int) -> None:
    """The orientations of Exif 2.32, tag 274, table 6: where row 0 and column 0 of the file lie."""
    upright = Image.new("RGB", (60, 40), BLUE)
    upright.paste(RED, (0, 0, 20, 20))  # red at the top left, so that each turn shows
    back = {
        1: [],
        2: [Image.Transpose.FLIP_LEFT_RIGHT],  # row 0 top, column 0 right
        3: [Image.Transpose.ROTATE_180],  # bottom, right
        4: [Image.Transpose.FLIP_TOP_BOTTOM],  # bottom, left
        5: [Image.Transpose.TRANSPOSE],  # left, top
        6: [Image.Transpose.ROTATE_90],  # right, top: the camera held clockwise
        7: [Image.Transpose.TRANSVERSE],  # right, bottom
        8: [Image.Transpose.ROTATE_270],  # left, bottom
    }[orientation]
    image = upright
    for turn in back:
        image = image.transpose(turn)
    exif = Image.Exif()
    exif[0x0112] = orientation
    photo = kept(encoded(image, "JPEG", exif=exif, quality=95))
    assert photo.size == (60, 40)
    assert near(photo.getpixel((5, 5)), RED)
    assert near(photo.getpixel((55, 35)), BLUE)
    assert near(photo.getpixel((55, 5)), BLUE)
    assert near(photo.getpixel((5, 35)), BLUE)


def test_an_orientation_that_there_is_not_turns_nothing() -> None:
    """A camera's nonsense is no reason to lose the picture."""
    exif = Image.Exif()
    exif[0x0112] = 77
    assert kept(encoded(red_above_blue(), "JPEG", exif=exif)).size == (40, 60)


def test_a_great_photo_is_kept_at_2560_with_a_copy_of_320() -> None:
    """Five megabytes of noise, the worst there is: its copy stays below 32 kB."""
    noise = Image.frombytes("RGB", (1400, 1400), os.urandom(1400 * 1400 * 3))
    sent = encoded(noise.resize((4000, 3000)), "JPEG", quality=90)
    read = read_picture(sent)
    assert opened(read.large.content).size == (2560, 1920)
    assert opened(read.small.content).size == (320, 240)
    assert len(read.small.content) <= 32 * 1024


def test_a_small_photo_is_its_own_copy() -> None:
    """Nothing is made larger, and one file is enough."""
    read = read_picture(encoded(red_above_blue(), "PNG"))
    assert opened(read.large.content).size == (40, 60)
    assert read.small == read.large
    assert list(read.files) == [f"photos/{read.large.digest[:2]}/{read.large.digest}.jpg"]


def test_the_same_picture_gives_the_same_file() -> None:
    """Whatever a camera wrote beside it."""
    assert read_picture(from_a_phone()).large == read_picture(from_a_phone(1)).large


@pytest.mark.parametrize(("form", "mode"), READABLE)
def test_every_way_to_keep_colors_is_read(form: str, mode: str) -> None:
    """The upper half stays dark, the lower one light."""
    image = Image.new("L", (40, 60), 255)
    image.paste(0, (0, 0, 40, 30))
    photo = kept(encoded(image.convert(mode), form))
    assert photo.mode == "RGB"
    assert near(photo.getpixel((20, 5)), (0, 0, 0), by=40)
    assert near(photo.getpixel((20, 55)), (255, 255, 255), by=40)


def test_sixteen_bits_of_gray_become_eight() -> None:
    """And are not cut off at 255, which would leave a white picture."""
    deep = GRAY.convert("I").point(lambda value: value * 257).convert("I;16")
    photo = kept(encoded(deep, "PNG"))
    assert near(photo.getpixel((128, 64)), (64, 64, 64))
    assert near(photo.getpixel((128, 192)), (192, 192, 192))


def test_what_is_see_through_becomes_white() -> None:
    """A drawing with an empty ground is not black on black."""
    clear = Image.new("RGBA", (40, 40), (0, 0, 0, 0))
    assert near(kept(encoded(clear, "PNG")).getpixel((20, 20)), (255, 255, 255))


def test_colors_are_turned_into_srgb() -> None:
    """A profile whose curve is straight instead of to the power of 2.4 (IEC 61966-2-1, 5.2).

    Of 128 it makes (128 / 255 + 0.055) / 1.055 = 0.528 of the light, for which sRGB has 192. A
    profile that cannot be read changes nothing.
    """
    standard = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    straight = standard.replace(fixed_point(2.4), fixed_point(1))
    assert straight != standard
    gray = Image.new("RGB", (20, 20), (128, 128, 128))
    for profile, shade in ((standard, 128), (straight, 192), (b"nonsense" * 40, 128)):
        photo = kept(encoded(gray, "PNG", icc_profile=profile))
        assert near(photo.getpixel((9, 9)), (shade, shade, shade), by=2)


def fixed_point(value: float) -> bytes:
    """A number as a color profile has it (ICC.1, s15Fixed16Number)."""
    return int(value * 65536).to_bytes(4, "big")


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (None, "photo-missing"),
        (b"", "photo-missing"),
        (b"<svg onload=alert(1)>", "not-a-photo"),
        (b"\x89PNG\r\n\x1a\n", "not-a-photo"),
        (b"\xff\xd8\xff<script>alert(1)</script>", "not-a-photo"),
        (b"GIF89a" + b"\x00" * 40, "not-a-photo"),
        (b"%PDF-1.7\n", "not-a-photo"),
        (encoded(red_above_blue(), "BMP"), "not-a-photo"),
        (encoded(GRAY, "JPEG")[:-300], "photo-damaged"),
        (encoded(GRAY, "PNG")[:-60], "photo-damaged"),
        (encoded(GRAY, "WEBP")[:-60], "photo-damaged"),
        (moving("PNG"), "photo-moving"),
        (moving("WEBP"), "photo-moving"),
        (claiming(60_000, 60_000), "photo-too-many-points"),
        (claiming(60_000, 60_000, depth=16), "photo-too-many-points"),
        (claiming(40_000, 1_001), "photo-too-many-points"),
        (claiming(2**31 - 1, 2**31 - 1), "photo-too-many-points"),
        (claiming(0, 5), "not-a-photo"),
        (of_many_scans(100), "photo-damaged"),
        (b"\xff\xd8" + b"\xff\xe0\x00\x02" * 6000, "photo-damaged"),
        (b"\x00" * (12 * 1024 * 1024 + 1), "photo-too-large"),
    ],
)
def test_what_is_no_picture_is_refused_and_says_why(content: bytes | None, code: str) -> None:
    """A script behind a picture's first bytes, one cut off, one that moves, one without end."""
    assert refused(content).code == code


def test_a_picture_of_exactly_twelve_megabytes_is_taken() -> None:
    """The limit is the largest still taken; what stands behind a picture is no part of it."""
    picture = encoded(GRAY, "PNG")
    kept(picture + b"\x00" * (12 * 1024 * 1024 - len(picture)))


def test_a_progressive_photo_of_a_camera_is_taken() -> None:
    """Ten scans are usual, and a video behind the picture does not count."""
    kept(of_many_scans(20))
    kept(encoded(red_above_blue(), "JPEG") + b"\xff\xda" * 5000)


def test_a_logo_keeps_what_is_see_through() -> None:
    """As PNG, at most 640 on its longest side and 1 MB as it is sent."""
    clear = Image.new("RGBA", (1000, 500), (0, 0, 0, 0))
    read = read_picture(encoded(clear, "PNG"), LOGO)
    logo = opened(read.large.content)
    assert (logo.format, logo.size, logo.getpixel((9, 9))) == ("PNG", (640, 320), (0, 0, 0, 0))
    assert LOGO.file(read.large.digest).startswith(f"logos/{read.large.digest[:2]}/")
    with pytest.raises(Refusal) as no:
        read_picture(b"\x00" * (1024 * 1024 + 1), LOGO)
    assert (no.value.code, no.value.details["most"]) == ("photo-too-large", 1)


def test_the_digest_of_what_was_sent_is_kept() -> None:
    """An auditor may hold the original."""
    sent = from_a_phone()
    read = read_picture(sent, PHOTO)
    assert read.sent != read.large.digest
    assert read.sent == hashlib.sha256(sent).hexdigest()
