"""Endpoints of a unit's photos."""

from uuid import UUID

from django.http import FileResponse

from api.operations import View, reads_file
from prep.actions.beside_the_log.picture_files import open_photo
from prep.models import Photo
from prep.queries.photos import photo as photo_of
from prep.queries.units import seen_by
from prep.record.token.scopes import READ


class PhotoView(View):
    """A photo as it is kept."""

    tag = "units"
    reading = READ

    @reads_file
    def get(self, unit: UUID, photo: UUID) -> FileResponse:
        """Download a photo as it is kept, a JPEG whose SHA-256 the log holds."""
        seen_by(self.person, unit)
        row = photo_of(photo, unit)
        return _file(row, row.digest)


class SmallPhotoView(View):
    """The small copy of a photo."""

    tag = "units"
    reading = READ

    @reads_file
    def get(self, unit: UUID, photo: UUID) -> FileResponse:
        """Download the small copy of a photo, at most 320 pixels on its longest side."""
        seen_by(self.person, unit)
        row = photo_of(photo, unit)
        return _file(row, row.small)


def _file(row: Photo, digest: str) -> FileResponse:
    answer = FileResponse(open_photo(row, digest), content_type="image/jpeg")
    answer["ETag"] = f'"{digest}"'
    return answer
