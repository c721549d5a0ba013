"""Files of tests: a folder of their own for keys and uploads, and a small picture."""

import io
from pathlib import Path
from typing import Any

from PIL import Image


def own_folders(settings: Any, folder: Path) -> None:
    """Keys and files of a test lie in a folder of its own."""
    settings.KEYS = folder
    settings.MEDIA_ROOT = folder / "files"


def picture(shade: int = 90) -> bytes:
    """A small PNG."""
    target = io.BytesIO()
    Image.new("RGB", (24, 16), (shade, 140, 60)).save(target, "PNG")
    return target.getvalue()
