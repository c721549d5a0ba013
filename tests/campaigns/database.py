"""An adversary with the whole database, the stored files, the code and a key of his own.

He has neither the log's signing key nor the service's secret key, and cannot write where they lie.
He changes things singly and together, and mends what he can so that it looks right.

Before the campaign was run, this was the closed list of what he can do unseen where no checkpoint
from outside is given. Each is told in the verdict of every verification (`prep.verify.unproven`):

* `not-sealed`: change or remove an event that no checkpoint covers yet. Nothing was signed over it.
* `new-events`: append an event that looks genuine, with the leaf hash that follows from it. The
  service seals what waits; nothing in an event says which program wrote it.
* `state-restored`: put back an older state of the database and the files together, all of it. It
  is a state in which the service once was, and everything in it agrees.
* `not-evidence`: change what is no part of the record: sessions, counts of attempts
  at PINs and passwords, jobs that are not done.

Everything else has to be found, and called by one of the codes that stand with each move.
"""

import os
import random
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Final
from uuid import uuid4

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from django.conf import settings
from django.contrib.auth.hashers import make_password
from django.db import connection
from django.utils import timezone

from prep.actions import sealing
from prep.models import (
    Checkpoint,
    Event,
    Leaf,
    LogKey,
    Membership,
    Person,
    Reading,
    SignOff,
    Unit,
    Unsealed,
)
from prep.queries import log
from prep.record.log import signed_notes
from prep.record.log.key_notes import introduction
from prep.verify.log import recomputed
from reports.models import DocumentRequest
from tests.actions.kept import rows
from tests.kept_yard import KeptYard
from tests.verify.forging import rebuilt_tree

OWN: Final = Ed25519PrivateKey.from_private_bytes(bytes(range(32)))
NAME: Final = "yardproof.example/log"


@dataclass(frozen=True)
class State:
    """All rows and files as they were at a moment."""

    tables: KeptYard
    files: dict[Path, bytes]

    @classmethod
    def now(cls, tables: KeptYard) -> "State":
        """The files as they are, beside rows that were just kept."""
        found = (path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file())
        return cls(tables, {path: path.read_bytes() for path in found})

    def put_back_files(self) -> None:
        """Exactly these files, long settled."""
        for path in Path(settings.MEDIA_ROOT).rglob("*"):
            if path.is_file() and path not in self.files:
                path.unlink()
        for path, content in self.files.items():
            if not path.exists() or path.read_bytes() != content:
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(content)
            os.utime(path, (0, 0))


@dataclass(frozen=True)
class Move:
    """Something the adversary does, and the codes of which one must name it.

    `unseen` is the class of what nobody can see without a checkpoint from outside; empty for the
    rest.
    """

    make: Callable[[random.Random, State], None]
    codes: frozenset[str]
    unseen: str = ""


def sealed_event(chance: random.Random) -> Event:
    """Some event that is sealed."""
    return Event.objects.get(sealed__position=chance.randrange(log.size()))


def rewrite_an_event(chance: random.Random, older: State) -> None:
    """An event changed, and nothing mended."""
    event = sealed_event(chance)
    column = chance.choice(["actor_name", "site", "device", "request", "kind"])
    # Not a character longer: PostgreSQL keeps a column's length.
    rows(Event).filter(pk=event.pk).update(**{column: f"{getattr(event, column)[:-1]}~"})


def rewrite_an_event_and_its_tree(chance: random.Random, older: State) -> None:
    """An event changed with its leaf hash and every node above it."""
    event = sealed_event(chance)
    rows(Event).filter(pk=event.pk).update(actor_name="Nobody Invented")
    rebuilt_tree({event.pk})


def rewrite_an_event_and_its_roots(chance: random.Random, older: State) -> None:
    """The same, and the roots in the checkpoints' rows, whose notes he cannot sign."""
    rewrite_an_event_and_its_tree(chance, older)
    for size in list(Checkpoint.objects.values_list("size", flat=True)):
        rows(Checkpoint).filter(pk=size).update(root=log.root(size).hex())


def take_the_checkpoints_of_a_rewritten_log(chance: random.Random, older: State) -> None:
    """The same, and no checkpoint is left to contradict it."""
    rewrite_an_event_and_its_tree(chance, older)
    rows(Checkpoint).delete()


def sign_again(chance: random.Random) -> signed_notes.VerifierKey:
    """Something rewritten, and one checkpoint over all of it with his own key."""
    event = sealed_event(chance)
    rows(Event).filter(pk=event.pk).update(actor_name="Nobody Invented")
    rebuilt_tree({event.pk})
    rows(Checkpoint).delete()
    key, size = signed_notes.verifier_key(NAME, OWN), log.size()
    signed = signed_notes.Checkpoint(key.name, size, log.root(size))
    note = signed_notes.sign_note(signed_notes.format_checkpoint(signed), key.name, OWN)
    moment = sealing.moment_under(size)
    Checkpoint.objects.create(size=size, root=signed.root.hex(), note=note, created=moment)
    return key


def publish(key: signed_notes.VerifierKey, follows: str, days: int) -> None:
    """His key among the log's, so many days from now."""
    note = signed_notes.sign_note(introduction(key, follows), key.name, OWN)
    created = timezone.now() + timedelta(days=days)
    LogKey.objects.create(verifier=key.text, note=note, created=created)


def sign_again_alone(chance: random.Random, older: State) -> None:
    """His key is the only one."""
    key = sign_again(chance)
    rows(LogKey).delete()
    publish(key, "", 0)


def sign_again_before(chance: random.Random, older: State) -> None:
    """His key stands before the right one, as if that were new."""
    publish(sign_again(chance), "", -9)


def sign_again_after(chance: random.Random, older: State) -> None:
    """His key follows the right one, and says so."""
    key = sign_again(chance)
    publish(key, LogKey.objects.latest("created").verifier, 9)


def cut_the_log(chance: random.Random, older: State) -> None:
    """Every event after an older checkpoint gone, tree and checkpoints mended."""
    size = Checkpoint.objects.earliest("size").size
    late = list(Leaf.objects.filter(position__gte=size).values_list("event", flat=True))
    Unsealed.objects.all().delete()
    rows(Leaf).filter(position__gte=size).delete()
    rows(Checkpoint).filter(size__gt=size).delete()
    rows(Event).exclude(sealed__position__lt=size)._raw_delete("default")
    assert late
    rebuilt_tree()


def put_back_rows(chance: random.Random, older: State) -> None:
    """An older state of the database; the files of later documents stay."""
    _put_back(older)


def put_back_everything(chance: random.Random, older: State) -> None:
    """An older state of database and files."""
    _put_back(older)
    older.put_back_files()


def _put_back(older: State) -> None:
    with connection.cursor() as cursor:
        for name in connection.introspection.table_names():
            if name not in {"django_migrations", "django_content_type", "auth_permission"}:
                cursor.execute(f"DELETE FROM {connection.ops.quote_name(name)}")
    older.tables.put_back()


def enrolled() -> list[Person]:
    """Everybody but those whom he added himself."""
    return list(Person.objects.exclude(username__startswith="eve-").order_by("pk"))


def exchange_secrets(chance: random.Random, older: State) -> None:
    """The PINs or passwords of two people."""
    one, other = chance.sample(enrolled(), 2)
    column = chance.choice(["pin", "password"])
    mine, theirs = getattr(one, column), getattr(other, column)
    Person.objects.filter(pk=one.pk).update(**{column: theirs})
    Person.objects.filter(pk=other.pk).update(**{column: mine})


def a_pin_of_his_own(chance: random.Random, older: State) -> None:
    """A hash that he made of a PIN he knows."""
    person = chance.choice(enrolled())
    Person.objects.filter(pk=person.pk).update(pin=make_password("0000", hasher="argon2pin"))


def a_superuser(chance: random.Random, older: State) -> None:
    """Above all roles."""
    person = chance.choice(enrolled())
    Person.objects.filter(pk=person.pk).update(
        **{chance.choice(["is_superuser", "is_staff"]): True}
    )


def an_account_of_his_own(chance: random.Random, older: State) -> None:
    """With a role."""
    name = f"eve-{chance.randrange(1000)}"
    person = Person.objects.create(username=name, printed_name="Eve Invented")
    Membership.objects.create(person=person, site_id="north", role="service manager")


def a_role(chance: random.Random, older: State) -> None:
    """Given to somebody, or taken."""
    if chance.random() < 0.5:
        genuine = Membership.objects.exclude(person__username__startswith="eve-")
        chance.choice(list(genuine.order_by("pk"))).delete()
    else:
        person = Person.objects.get(username="una-north")
        Membership.objects.create(person=person, site_id="north", role="administrator")


def a_printed_name(chance: random.Random, older: State) -> None:
    """Of a person, in a reading, or beside a signature."""
    table, column = chance.choice(
        [(Person, "printed_name"), (Reading, "person_name"), (SignOff, "person_name")]
    )
    everything = list(table._default_manager.order_by("pk"))
    row = chance.choice(enrolled() if table is Person else everything)
    table._default_manager.filter(pk=row.pk).update(**{column: "Nobody Invented"})


def a_reading(chance: random.Random, older: State) -> None:
    """What was typed, and what is said of it."""
    row = chance.choice(list(Reading.objects.order_by("pk")))
    Reading.objects.filter(pk=row.pk).update(raw="1 ft lb", verdict="nonconforming")


def a_unit(chance: random.Random, older: State) -> None:
    """Ready, though it is not; not, though it is."""
    row = chance.choice(list(Unit.objects.order_by("pk")))
    Unit.objects.filter(pk=row.pk).update(ready_for_stock=not row.ready_for_stock, place="row 9")


def a_document_with_its_digest(chance: random.Random, older: State) -> None:
    """Another file in the place of one that was issued, and its digest in the row."""
    request = chance.choice(list(DocumentRequest.objects.filter(state="done").order_by("pk")))
    path = Path(settings.MEDIA_ROOT) / str(request.file)
    path.write_bytes(path.read_bytes()[:-9] + b"forged (inv)")
    DocumentRequest.objects.filter(pk=request.pk).update(digest="00" * 32)


def an_unsealed_event(chance: random.Random, older: State) -> None:
    """One that waits, changed with its leaf hash; its rows do not show the device."""
    waiting = Unsealed.objects.latest("pk").event
    rows(Event).filter(pk=waiting.pk).update(device="another tablet")
    changed = Event.objects.get(pk=waiting.pk)
    rows(Event).filter(pk=waiting.pk).update(leaf=recomputed(changed))


def an_event_appended(chance: random.Random, older: State) -> None:
    """A new one that looks genuine, and waits for its seal."""
    event = Event.objects.filter(stream="wording").latest("pk")
    last = Event.objects.filter(stream="person").latest("pk")
    version = Event.objects.filter(stream="person", stream_id=last.stream_id).count()
    last.pk, last.version, last.command = None, version + 1, uuid4()
    last.part, last.recorded = 0, event.recorded
    last.leaf = recomputed(last) or ""
    rows(Event).bulk_create([last])
    Unsealed.objects.create(event=Event.objects.latest("pk"))


def no_evidence(chance: random.Random, older: State) -> None:
    """What the record does not know of."""
    person = chance.choice(enrolled())
    Person.objects.filter(pk=person.pk).update(last_login=timezone.now())


def codes(*names: str) -> frozenset[str]:
    """Codes of findings, of which one has to be there."""
    return frozenset(names)


ROOTS: Final = codes("checkpoint-log-differs", "document-log-differs")
MOVES: Final = (
    Move(rewrite_an_event, codes("event-altered")),
    Move(rewrite_an_event_and_its_tree, ROOTS),
    Move(rewrite_an_event_and_its_roots, codes("checkpoint-row-differs")),
    Move(take_the_checkpoints_of_a_rewritten_log, codes("entries-uncovered")),
    Move(sign_again_alone, codes("key-not-here")),
    Move(sign_again_before, codes("key-added")),
    Move(sign_again_after, codes("key-not-here")),
    Move(cut_the_log, codes("document-log-short")),
    Move(put_back_rows, codes("file-stray")),
    Move(exchange_secrets, codes("account-pin", "account-password")),
    Move(a_pin_of_his_own, codes("account-pin")),
    Move(a_superuser, codes("account-above-roles")),
    Move(an_account_of_his_own, codes("account-added")),
    Move(a_role, codes("row-added", "row-missing")),
    Move(a_printed_name, codes("account-renamed", "row-altered")),
    Move(a_reading, codes("row-altered")),
    Move(a_unit, codes("unit-column")),
    Move(a_document_with_its_digest, codes("document-file-altered")),
    Move(put_back_everything, codes(), "state-restored"),
    Move(an_unsealed_event, codes(), "not-sealed"),
    Move(an_event_appended, codes(), "new-events"),
    Move(no_evidence, codes(), "not-evidence"),
)
SEEN: Final = tuple(move for move in MOVES if not move.unseen)
# What is made together: one that rewrites the log, and others of those that change what follows
# from it. Where the log is rewritten it may be said of these that nobody can tell.
REWRITING: Final = SEEN[:7]
FOLLOWING: Final = SEEN[9:]
UNJUDGED: Final = codes("unit-unjudged", "stream-unjudged", "document-unjudged")


def several(chance: random.Random) -> list[Move]:
    """Two or three moves that are made together, one after the other."""
    others = chance.sample(FOLLOWING, 2)
    return [chance.choice(REWRITING), *others] if chance.random() < 0.7 else others
