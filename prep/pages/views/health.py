"""What a machine asks: is the process alive, and can the service do its work?"""

from http import HTTPStatus

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import translation
from django.views.decorators.cache import never_cache

from prep.actions.outages.checks import lately
from prep.words.outages.sentences import outage_text
from prep.words.reader import Reader


@never_cache
def alive(request: HttpRequest) -> HttpResponse:
    """200 where the process answers; it looks at nothing else: starting it again would not help."""
    return HttpResponse("alive", content_type="text/plain")


@never_cache
def ready(request: HttpRequest) -> HttpResponse:
    """200 where commands can be carried out, else 503; either with everything that is away."""
    reader = Reader(language=translation.get_language_from_request(request))
    found = lately()
    able = not any(one.decisive for one in found)
    reasons = [
        {"code": one.code, "text": outage_text(one.code, one.values, reader)} for one in found
    ]
    status = HTTPStatus.OK if able else HTTPStatus.SERVICE_UNAVAILABLE
    return JsonResponse({"ready": able, "reasons": reasons}, status=status)
