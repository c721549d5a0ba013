"""The endpoint of every list, made from its declaration."""

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from urllib.parse import urlencode
from uuid import UUID

import msgspec
from django.http import HttpResponseBase, StreamingHttpResponse
from django.urls import URLPattern, path
from django.views.decorators.gzip import gzip_page
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from api.answers.units import StateWords
from api.operations import View
from api.preconditions import tags
from api.schema import ERRORS, problems
from api.views.documents import AskForDocumentView
from prep.actions.readings.lists import read_all, read_page
from prep.queries.listing.asker import asker_of
from prep.queries.listing.asking import Asking, asking
from prep.queries.listing.declaration import Kind, Listing
from prep.queries.listing.page import count_of
from prep.record.refusal import Refusal
from reports.lists.all_lists import LISTS
from reports.lists.exports import EXPORTS, export_named, sent_headers

ASKED_FOR: Final[Mapping[str, type[View]]] = {"documents": AskForDocumentView}
USUAL: Final = 50
MOST: Final = 200

# What every list takes beside its filters.
COMMON: Final[Mapping[str, str]] = {
    "q": "Words that each row has somewhere, in any order.",
    "order": "One of the orders of this list.",
    "fields": "Names of fields by commas; without it the usual ones.",
    "limit": f"How many rows at most, {USUAL} unless you say, up to {MOST}.",
    "cursor": "Where the page before ended; taken from its `next` link.",
    "count": "true: also how many rows there are on all pages.",
    "export": "csv, xlsx or jsonl: every row as a file.",
}


class FirstReason(msgspec.Struct, frozen=True):
    """The first reason why a unit is not ready; `readiness` of the unit has all of them."""

    code: str
    text: str


TYPES: Final[Mapping[Kind, Any]] = {
    Kind.TEXT: str,
    Kind.TOKEN: str,
    Kind.NUMBER: int | None,
    Kind.YES_NO: bool,
    Kind.MOMENT: datetime | None,
    Kind.DAY: str,
    Kind.ID: UUID | None,
    Kind.TEXTS: list[str],
    Kind.STATE: StateWords,
    Kind.REASON: FirstReason | None,
}


@dataclass(frozen=True)
class _Sent:
    """The query of a request, apart: what every list takes, and filters."""

    common: dict[str, str]
    filters: dict[str, str]


def list_view(listing: Listing) -> type[View]:
    """The view of a list; at some addresses something can be asked for as well."""

    def get(self: View, request: Request) -> HttpResponseBase:
        return _answer(listing, self, request)

    members = {
        "__doc__": f"The list {listing.name}.",
        "tag": listing.name,
        "get": _described(get, listing),
    }
    base = ASKED_FOR.get(listing.name, View)
    return type(f"{listing.name.title()}ListView", (base,), members)


def _answer(listing: Listing, view: View, request: Request) -> HttpResponseBase:
    sent = _sent(request)
    asked = asking(
        listing,
        sent.filters,
        words=sent.common.get("q", ""),
        order=sent.common.get("order", ""),
        fields=sent.common.get("fields", ""),
    )
    if wanted := sent.common.get("export"):
        return _export(wanted, asked, view)
    return _page(asked, view, request, sent.common)


def _sent(request: Request) -> _Sent:
    given = request.query_params
    for name in given:
        if len(given.getlist(name)) > 1:
            raise Refusal("parameter-repeated", field=name, parameter=name)
        if "\0" in given[name]:
            raise Refusal("parameter-unfit", field=name, parameter=name)
    common = {name: given[name] for name in given if name in COMMON}
    return _Sent(common, {name: given[name] for name in given if name not in COMMON})


def _page(
    asked: Asking, view: View, request: Request, common: Mapping[str, str]
) -> HttpResponseBase:
    asker = asker_of(view.person, asked.listing)
    limit = _limit(common.get("limit", ""))
    page = read_page(asked, asker, cursor=common.get("cursor", ""), limit=limit)
    answer: dict[str, Any] = {"items": page.rows, "next": _next(request, page.cursor)}
    if _yes(common, "count"):
        answer["total"] = count_of(asked, asker)
    body = msgspec.json.encode(answer)
    tag = hashlib.sha256(body).hexdigest()[:32]
    headers = {"ETag": f'W/"{tag}"', "Vary": "Authorization"}
    if answer["next"]:
        headers["Link"] = f'<{answer["next"]}>; rel="next"'
    if _has(request, tag):
        return Response(status=304, headers=headers)
    return Response(msgspec.Raw(body), headers=headers)


def _limit(text: str) -> int:
    if not text:
        return USUAL
    if not (text.isascii() and text.isdecimal() and len(text) < 6 and 0 < int(text) <= MOST):
        raise Refusal("page-size-unfit", field="limit", most=MOST)
    return int(text)


def _yes(common: Mapping[str, str], name: str) -> bool:
    text = common.get(name, "false")
    if text not in {"true", "false"}:
        raise Refusal("not-a-choice", field=name, allowed=("true", "false"))
    return text == "true"


def _next(request: Request, cursor: str) -> str | None:
    """The address of the next page; None at the end."""
    if not cursor:
        return None
    sent = {**request.query_params.dict(), "cursor": cursor}
    return request.build_absolute_uri(f"{request.path}?{urlencode(sent)}")


def _has(request: Request, tag: str) -> bool:
    """Whether the sender has this page already (If-None-Match compares weakly)."""
    given = request.headers.get("If-None-Match")
    return given is not None and any(one == tag for _, one in tags(given))


def _export(wanted: str, asked: Asking, view: View) -> HttpResponseBase:
    export = export_named(wanted)
    content = export.write(asked.fields, read_all(asked, asker_of(view.person, asked.listing)))
    return StreamingHttpResponse(content, headers=sent_headers(export, asked.listing.name))


def _described(get: Callable[..., Any], listing: Listing) -> Any:
    filters = {one.name: one for one in listing.filters}
    orders = ", ".join(f"`{order.name}`" for order in listing.orders)
    parameters = [
        OpenApiParameter(
            name,
            {"type": "string", "enum": list(one.choices)} if one.choices else str,
            OpenApiParameter.QUERY,
            description=f"Filter by {one.kind}.",
        )
        for name, one in filters.items()
    ]
    parameters += [
        OpenApiParameter(name, str, OpenApiParameter.QUERY, description=text)
        for name, text in COMMON.items()
        if name != "q" or listing.search
    ]
    return extend_schema(
        operation_id=f"list_{listing.name}",
        summary=f"List {listing.name}",
        description=f"In pages, or whole as a file. Orders: {orders}; the first is the usual one.",
        parameters=parameters,
        responses={
            (200, "application/json"): OpenApiResponse(_page_struct(listing), "A page."),
            **{
                (200, export.media_type): OpenApiResponse(bytes, "Every row.")
                for export in EXPORTS.values()
            },
            304: OpenApiResponse(description="The page named in If-None-Match stands."),
            **problems(ERRORS["reads"]),
        },
    )(get)


def _page_struct(listing: Listing) -> type[msgspec.Struct]:
    """The shape of a page. A row has the fields that were asked for."""
    title = listing.name.title()
    fields = [
        (field.name, TYPES[field.kind] | msgspec.UnsetType, msgspec.UNSET)
        for field in listing.fields
    ]
    row = msgspec.defstruct(f"{title}Row", fields, frozen=True, kw_only=True)
    row.__doc__ = f"A row of the list {listing.name}."
    page = msgspec.defstruct(
        f"{title}Page",
        [
            ("items", list[row]),  # type: ignore[valid-type]  # made at run time
            ("next", str | None),
            ("total", int | msgspec.UnsetType, msgspec.UNSET),
        ],
        frozen=True,
        kw_only=True,
    )
    page.__doc__ = (
        "A page of a list. `next` is the address of the page after it, null at the end; `total` "
        "is answered where it was asked for."
    )
    return page


urlpatterns: Final[list[URLPattern]] = [
    path(name, gzip_page(list_view(listing).as_view())) for name, listing in LISTS.items()
]
