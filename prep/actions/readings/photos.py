"""A photo as it is shown: one that shows people only to few, and noted."""

from django.core.files import File

from prep.actions.beside_the_log.picture_files import open_photo
from prep.actions.readings.personal import How, Shown, show
from prep.models import Person, Photo
from prep.queries.units import Seen
from prep.record.personal import Personal


def show_photo(person: Person, seen: Seen, photo: Photo, digest: str, how: How) -> "File[bytes]":
    """The file of a photo, or of its small copy, of a unit that the person sees.

    Refusal where it shows people and is not for this person, or where there is no such file.
    """
    opened = open_photo(photo, digest)
    if photo.people:
        try:
            shown = Shown(Personal.PHOTO, how, [seen.site], str(photo.pk))
            show(person, seen.roles, [Personal.PHOTO], shown)
        except BaseException:
            opened.close()
            raise
    return opened
