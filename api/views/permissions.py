"""Endpoint of the permission table."""

import msgspec

from api.operations import View, reads
from prep.queries.readers import reader_of
from reports.permission_words import row_text
from reports.permissions import permission_rows


class ShownPermission(msgspec.Struct, frozen=True, kw_only=True):
    """What may be done, and the roles of which one is needed.

    `sort` is command, read or document; `name` is the command's, the read's or the document
    kind's. A command that is `signed` asks for the PIN of whoever gives it; one that is `own` may
    be given by the person it is about as well.
    """

    sort: str
    name: str
    title: str
    roles: list[str]
    signed: bool
    own: bool


class PermissionTable(msgspec.Struct, frozen=True, kw_only=True):
    """Every command, named read and document kind."""

    items: list[ShownPermission]


class PermissionsView(View):
    """Who may do what."""

    tag = "people"

    @reads
    def get(self) -> PermissionTable:
        """See who may do what.

        The roles a person needs at the yard concerned; without any role there, nothing of it is
        told. What the state of a unit allows comes on top.
        """
        reader = reader_of(self.person)
        return PermissionTable(
            items=[
                ShownPermission(
                    sort=row.sort.value,
                    name=row.name,
                    title=row_text(row, reader),
                    roles=sorted(role.value for role in row.roles),
                    signed=row.signed,
                    own=row.own,
                )
                for row in permission_rows()
            ]
        )
