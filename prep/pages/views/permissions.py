"""The page that says who may do what."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from prep.pages.forms import signed_in
from prep.queries.readers import reader_of
from prep.record.roles import Role
from prep.words.permissions import role_text
from reports.permission_words import row_text
from reports.permissions import Sort, permission_rows


@signed_in
def permissions(request: HttpRequest) -> HttpResponse:
    """The permission table: commands, reads and documents by role."""
    reader = reader_of(request.user)
    rows = list(permission_rows())
    groups = [
        (
            sort.value,
            [
                (row_text(row, reader), row.signed, row.own, [role in row.roles for role in Role])
                for row in rows
                if row.sort is sort
            ],
        )
        for sort in Sort
    ]
    page = {"roles": [role_text(role, reader) for role in Role], "groups": groups}
    return render(request, "permissions.html", page)
