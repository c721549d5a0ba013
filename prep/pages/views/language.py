"""Languages: choosing one, and the texts of the scripts in it."""

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.utils import translation
from django.views.decorators.cache import cache_control
from django.views.decorators.http import conditional_page, require_POST
from django.views.i18n import JavaScriptCatalog, set_language

from prep.actions.people import choose_language
from prep.models import Person
from prep.words.reader import LANGUAGES


@require_POST
def language(request: HttpRequest) -> HttpResponse:
    """Choose a language, and go back to the page it was chosen on.

    It is kept with the person who is signed in; while nobody is, in a cookie of the browser.
    """
    response = set_language(request)
    chosen = request.POST.get("language", "")
    if isinstance(request.user, Person) and chosen in LANGUAGES:
        choose_language(actor=request.user, language=chosen)
        response.cookies.pop(settings.LANGUAGE_COOKIE_NAME, None)
    return response


@conditional_page
@cache_control(public=True, max_age=60)
def script_texts(request: HttpRequest, language: str) -> HttpResponseBase:
    """The texts of the scripts. The language is in the address, so that no cache mixes two."""
    if language not in LANGUAGES:
        raise Http404
    with translation.override(language):
        return JavaScriptCatalog.as_view(packages=["prep"])(request)
