"""Endpoint of the addresses outside that keep the log's checkpoints."""

from datetime import datetime
from uuid import UUID

import msgspec

from api.operations import View, reads
from prep.actions.readings.personal import How, Shown, show
from prep.queries.people import roles_at
from prep.queries.readers import reader_of
from prep.record.personal import Personal
from prep.record.refusal import Refusal
from reports.checkpoint_mail.status import statuses


class ShownKeeper(msgspec.Struct, frozen=True, kw_only=True):
    """An address that gets the checkpoint once a day.

    `sent` is when it last got one, and `size` over how many entries that was; null and 0 before the
    first. `failed` says why the last try failed since, empty where none did; it is tried again.
    """

    id: UUID
    email: str
    language: str
    sent: datetime | None
    size: int
    failed: str


class KeeperList(msgspec.Struct, frozen=True, kw_only=True):
    """The addresses of a yard, in the order of their letters."""

    items: list[ShownKeeper]


class KeepersView(View):
    """Who outside keeps the checkpoints."""

    tag = "log"

    @reads
    def get(self, site: str) -> KeeperList:
        """List who outside gets the checkpoint once a day, and how the mails are doing."""
        roles = frozenset(roles_at(self.person, site))
        if not roles:
            raise Refusal("no-such-site", field="site")
        shown = Shown("keepers", How.API, [site], site)
        show(self.person, roles, [Personal.KEEPER], shown)
        return KeeperList(
            items=[
                ShownKeeper(
                    id=one.keeper.pk,
                    email=one.keeper.email,
                    language=one.keeper.language,
                    sent=one.sent,
                    size=one.size,
                    failed=one.failed,
                )
                for one in statuses(site, reader_of(self.person))
            ]
        )
