"""Endpoints of a unit's photos."""

from uuid import UUID

from django.http import FileResponse

from api.operations import View, reads_file
from prep.actions.readings.personal import How
from prep.actions.readings.photos import show_photo
from prep.models import Person, Photo
from prep.queries.photos import photo as photo_of
from prep.queries.units import seen_by


class PhotoView(View):
    """A photo as it is kept."""

    tag = "units"

    @reads_file
    def get(self, unit: UUID, photo: UUID) -> FileResponse:
        """Download a photo as it is kept, a JPEG whose SHA-256 the log holds.

        One that shows people is for those who may see these, and noted.
        """
        row = photo_of(photo, unit)
        return _file(self.person, row, row.digest)


class SmallPhotoView(View):
    """The small copy of a photo."""

    tag = "units"

    @reads_file
    def get(self, unit: UUID, photo: UUID) -> FileResponse:
        """Download the small copy of a photo, at most 320 pixels on its longest side."""
        row = photo_of(photo, unit)
        return _file(self.person, row, row.small)


def _file(person: Person, row: Photo, digest: str) -> FileResponse:
    file = show_photo(person, seen_by(person, row.unit_id), row, digest, How.API)
    answer = FileResponse(file, content_type="image/jpeg")
    answer["ETag"] = f'"{digest}"'
    return answer
