"""Erasing the personal data of a unit: who received it, and photos that show people.

The rows say at once that they are erased, and nothing is shown from then on. The files of photos
go when the log's reader comes to the event: a file that is deleted stays so, and a transaction that
fails must not have deleted one.
"""

from datetime import datetime
from typing import Final
from uuid import UUID

from prep.actions.beside_the_log.picture_files import delete_files
from prep.actions.beside_the_log.pictures import PHOTO
from prep.models import Photo, Recipient
from prep.record.unit.events.erasure import PersonalErased

NOBODY: Final = "(erased)"


def erase_of_unit(event: PersonalErased, when: datetime) -> None:
    """Erase what the event names."""
    if event.recipient:
        named = Recipient.objects.filter(pk=UUID(event.recipient))
        named.update(name=NOBODY, salt="", erased=when)
    Photo.objects.filter(pk__in=event.photos).update(erased=when)


def delete_photo_files(event: PersonalErased) -> None:
    """Delete the files of the photos that the event names, unless another photo has them too."""
    digests = Photo.objects.filter(pk__in=event.photos).values_list("digest", "small")
    delete_files({PHOTO.file(digest) for pair in digests for digest in pair})
