"""The mail with a checkpoint: what it says, and the checkpoint as its text and as a file."""

from django.core.mail import EmailMessage

from prep.models import Checkpoint, CheckpointKeeper
from prep.words.reader import Reader
from prep.words.verification.mail import mail_subject, mail_text
from reports.models import CheckpointMail


def mail_of(job: CheckpointMail, keeper: CheckpointKeeper, newest: Checkpoint) -> EmailMessage:
    """The mail of a day. Sent twice, it is the same mail to every mail program."""
    reader = Reader(language=keeper.language)
    dealer, origin = keeper.site.dealer, newest.note.partition("\n")[0]
    mail = EmailMessage(
        subject=mail_subject(reader, dealer=dealer, size=newest.size),
        body=mail_text(reader, dealer=dealer, note=newest.note),
        to=[keeper.email],
        headers={"Message-ID": f"<{job.pk}@{origin.partition('/')[0]}>"},
    )
    mail.attach(f"checkpoint-{newest.size}.txt", newest.note, "text/plain")
    return mail
