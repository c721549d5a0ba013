"""Problem documents (RFC 9457): the one shape of every error the API answers with."""

import logging
import math
from collections.abc import Mapping
from typing import Any, Final

import msgspec
from django.core.exceptions import PermissionDenied, SuspiciousOperation
from django.http import Http404, HttpResponse, UnreadablePostError
from django.utils.translation import get_language_from_request
from rest_framework import exceptions
from rest_framework.response import Response
from rest_framework.views import set_rollback

from prep.actions.outages.refusals import refusal_of
from prep.queries.readers import reader_of
from prep.record.documents.problems import Problem as DocumentProblem
from prep.record.documents.problems import parameters
from prep.record.refusal import Refusal
from prep.record.refusal_codes import RefusalClass
from prep.rules.catalog.catalog import RuleRefusal
from prep.words.api_problems import problem_text as request_problem
from prep.words.faults import fault_text
from prep.words.publishing.problems import problem_with_place, trail_text
from prep.words.reader import ENGLISH, Reader
from prep.words.refusals import refusal_details, refusal_text, title
from prep.words.rules import refusals as rule_refusals

log = logging.getLogger(__name__)

MEDIA_TYPE: Final = "application/problem+json"
TYPE: Final = "urn:yardproof:problem:"
UNFIT: Final = "input-unfit"  # the refusal that brings every fault of the fields
DOCUMENT_UNFIT: Final = "document-unfit"  # and that of a document
# HTTP status of each class of refusal.
STATUS: Final = {
    RefusalClass.SYNTAX: 400,
    RefusalClass.IDENTITY: 401,
    RefusalClass.PERMISSION: 403,
    RefusalClass.MISSING: 404,
    RefusalClass.STATE: 409,
    RefusalClass.PRECONDITION: 412,
    RefusalClass.TOO_LARGE: 413,
    RefusalClass.INPUT: 422,
    RefusalClass.PRECONDITION_NEEDED: 428,
    RefusalClass.TOO_MANY: 429,
    RefusalClass.AWAY: 503,
}


class InDocument(msgspec.Struct, frozen=True, kw_only=True):
    """Where a fault lies in a YAML document, and what may stand there.

    `pointer` is a JSON Pointer into the document, `path` the same for people; line and column are
    counted from 1, and 0 where there are none. `word` is what stands there, `allowed` what may,
    closest first. `parameters` are what the fault's sentence names.
    """

    code: str
    pointer: str
    path: str
    line: int
    column: int
    word: str
    allowed: tuple[str, ...]
    parameters: dict[str, Any]


class Fault(msgspec.Struct, frozen=True, omit_defaults=True):
    """One error in the request; `pointer` is a JSON Pointer into the body (RFC 6901)."""

    detail: str
    pointer: str
    document: InDocument | None = None


class Problem(msgspec.Struct, frozen=True, omit_defaults=True, kw_only=True):
    """Why a request was refused, for a program (`type`) and for a person (`detail`).

    `type` is stable. Further members help the person: the `choices` of an ambiguous entry, each of
    which can be sent as it is; the `reasons` that stop a release; the id of the `current` entry;
    what to wait for.
    """

    type: str
    title: str
    status: int
    detail: str
    errors: tuple[Fault, ...] = ()
    choices: tuple[dict[str, str], ...] = ()
    reasons: tuple[dict[str, str], ...] = ()


def as_problem(wrong: Exception, context: dict[str, Any]) -> Response:
    """The problem document of any exception. An unexpected one is logged, its details withheld."""
    set_rollback()
    return _answer(wrong, context)


def problem_body(wrong: Exception, context: dict[str, Any]) -> Any:
    """The problem document of an exception as plain data, for an answer that holds several."""
    return _answer(wrong, context).data


def problem_answer(no: Refusal) -> HttpResponse:
    """The problem document of a request that no view looked at."""
    response = _of_refusal(no, ENGLISH)
    body = msgspec.json.encode(response.data)
    return HttpResponse(body, MEDIA_TYPE, response.status_code)


def _answer(wrong: Exception, context: dict[str, Any]) -> Response:
    if away := refusal_of(wrong):
        log.warning("refused, because something is away", exc_info=wrong)
        return _of_refusal(away, Reader(language=_language(context)))  # nobody can be looked up
    reader = _reader(context)
    if no := _as_refusal(wrong):
        return _of_refusal(no, reader)
    if isinstance(wrong, RuleRefusal):
        return _response(_of_rule(wrong, reader))
    if isinstance(wrong, Http404):
        wrong = exceptions.NotFound()
    elif isinstance(wrong, PermissionDenied):
        wrong = exceptions.PermissionDenied()
    if isinstance(wrong, exceptions.APIException):
        return _of_framework(wrong, context, reader)
    log.error("unexpected error in the API", exc_info=wrong)
    return _response(problem("unexpected", request_problem("unexpected", reader), 500))


def _as_refusal(wrong: Exception) -> Refusal | None:
    """A refusal, or what the framework raises where it cannot read what was sent."""
    if isinstance(wrong, UnreadablePostError):  # whoever sent it hung up
        return Refusal("body-cut-off")
    if isinstance(wrong, SuspiciousOperation):  # a form of more fields or files than anybody needs
        return Refusal("body-fields")
    return wrong if isinstance(wrong, Refusal) else None


def problem(code: str, detail: str, status: int, **more: Any) -> Problem:
    """A problem document with the title of its code."""
    return Problem(
        type=TYPE + code, title=title(code, ENGLISH), status=status, detail=detail, **more
    )


def pointer(*path: str) -> str:
    """The JSON Pointer of an input, as a URI fragment."""
    return "#" + "".join("/" + part.replace("~", "~0").replace("/", "~1") for part in path)


def _reader(context: dict[str, Any]) -> Reader:
    """Whoever sent the request."""
    request = context.get("request")
    return reader_of(request.user) if request is not None else ENGLISH


def _language(context: dict[str, Any]) -> str:
    """The language that the request itself asks for."""
    request = context.get("request")
    return get_language_from_request(request._request) if request is not None else "en"


def _of_refusal(no: Refusal, reader: Reader) -> Response:
    """The details of a refusal: those in the schema as members, the rest as RFC 9457 extensions."""
    text = refusal_text(no, reader, by_label=False)
    details = refusal_details(no, reader)
    if no.code == DOCUMENT_UNFIT:
        return _response(_of_document(no, reader), {"count": details["count"]})
    if no.code == UNFIT:
        faults = details.pop("faults")
        errors = tuple(
            Fault(fault_text(one, reader, by_label=False), pointer(*one.path)) for one in faults
        )
    else:
        errors = (Fault(text, pointer(*no.field.split("."))),) if no.field else ()
    helps = {name: tuple(details.pop(name)) for name in ("choices", "reasons") if name in details}
    body = problem(no.code, text, STATUS[no.refusal_class], errors=errors, **helps)
    response = _response(body, msgspec.to_builtins(details))
    if no.refusal_class is RefusalClass.IDENTITY:
        response["WWW-Authenticate"] = "Token"  # RFC 9110, 15.5.2: every 401 has one
    if no.refusal_class in {RefusalClass.TOO_MANY, RefusalClass.AWAY}:
        response["Retry-After"] = str(no.details["seconds"])
    return response


def _of_rule(no: RuleRefusal, reader: Reader) -> Problem:
    choices = tuple(getattr(no, "choices", ()))
    text = rule_refusals.text(no, reader)
    errors = (Fault(text, pointer("inputs", no.field)),)
    code = "ambiguous" if choices else "rule-refused"
    return problem(code, text, 422, errors=errors, choices=choices)


def _of_document(no: Refusal, reader: Reader) -> Problem:
    """Every problem that is named; the extension `count` says how many there are."""
    where = pointer(no.field)
    errors = tuple(
        Fault(problem_with_place(one, reader), where, _in_document(one, reader))
        for one in no.details["problems"]
    )
    detail = request_problem(DOCUMENT_UNFIT, reader)
    return problem(DOCUMENT_UNFIT, detail, STATUS[no.refusal_class], errors=errors)


def _in_document(one: DocumentProblem, reader: Reader) -> InDocument:
    return InDocument(
        code=one.code,
        pointer=one.pointer,
        path=trail_text(one, reader),
        line=one.line,
        column=one.column,
        word=one.word,
        allowed=one.allowed,
        parameters=parameters(one.values),
    )


def _of_framework(
    wrong: exceptions.APIException, context: dict[str, Any], reader: Reader
) -> Response:
    """The framework's own exceptions, in our words: its own are in the server's language."""
    code = str(wrong.default_code).replace("_", "-")
    request = context.get("request")
    own = wrong.get_codes()
    if isinstance(own, str) and own.startswith("token-"):
        code = own
    detail = request_problem(
        code,
        reader,
        method=request.method if request else "",
        media_type=request.content_type if request else "",
        seconds=math.ceil(getattr(wrong, "wait", None) or 0),
    )
    response = _response(problem(code, detail, wrong.status_code))
    if challenge := getattr(wrong, "auth_header", None):
        response["WWW-Authenticate"] = challenge
    if (wait := getattr(wrong, "wait", None)) is not None:
        response["Retry-After"] = str(int(wait))
    return response


def _response(body: Problem, extensions: Mapping[str, Any] | None = None) -> Response:
    members = {**msgspec.to_builtins(body), **(extensions or {})}
    return Response(members, body.status, content_type=MEDIA_TYPE)
