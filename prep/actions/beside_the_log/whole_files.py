"""Storage in a folder in which a file is whole, or not there at all."""

import os
import tempfile
from pathlib import Path
from typing import Any, Final

from django.core.files.base import File
from django.core.files.storage import FileSystemStorage

BUILDING: Final = ".building"  # a dot, so that nothing in it counts as stored


class _Written(File):  # type: ignore[type-arg]  # generic in the stubs only
    """A file that was written already, and only has to be moved."""

    def temporary_file_path(self) -> str:
        """Where it lies."""
        return str(self.name)


class WholeFiles(FileSystemStorage):
    """Django's storage in a folder; a full disk leaves no half of a file behind."""

    def save(self, name: str | None, content: Any, max_length: int | None = None) -> str:
        """Write the file aside, down to the disk, and move it to its place."""
        if hasattr(content, "temporary_file_path"):
            return super().save(name, content, max_length)
        written = self._write(content)
        try:
            with written.open("rb") as opened:
                return super().save(name, _Written(opened, str(written)), max_length)
        finally:
            written.unlink(missing_ok=True)

    def _write(self, content: Any) -> Path:
        """Write to a new file of a name that nobody else has."""
        folder = Path(self.location) / BUILDING
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=folder, delete=False) as made:
            try:
                for chunk in content.chunks():
                    made.write(chunk)
                made.flush()
                os.fsync(made.fileno())
            except BaseException:
                Path(made.name).unlink()
                raise
        return Path(made.name)
