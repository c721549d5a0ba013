"""Signing in and out. Tablets are shared, so switching the user is one button away."""

from typing import Any, cast

from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.core.exceptions import ValidationError
from django.http import HttpResponse

from prep.actions.accounts import passwords
from prep.actions.accounts.places import people_on
from prep.pages.device_cookie import device_here, origin_of, remember_device
from prep.pages.reader_language import language_of
from prep.record.refusal import Refusal
from prep.record.refusal_codes import RefusalClass
from prep.words.reader import Reader
from prep.words.refusals import refusal_text


class SignInForm(AuthenticationForm):
    """Name and password, judged by the one action that judges them."""

    refusal: Refusal | None = None

    def clean(self) -> dict[str, Any]:
        """Find whose they are, or say why they are refused."""
        assert self.request is not None
        typed = self.cleaned_data
        try:
            self.user_cache = passwords.signed_in(
                typed.get("username", ""), typed.get("password", ""), origin_of(self.request)
            )
        except Refusal as no:
            self.refusal = no
            raise ValidationError(
                refusal_text(no, Reader(language=language_of(self.request)))
            ) from no
        return typed


class SignIn(LoginView):
    """The sign-in page: name and password."""

    template_name = "sign_in.html"
    form_class = SignInForm
    redirect_authenticated_user = True

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        """Signed in, on the device that this browser is."""
        answer = super().form_valid(form)
        remember_device(self.request, answer)
        return answer

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        """With the way to switch by PIN, where somebody may."""
        device = device_here(self.request)
        by_pin = device is not None and bool(people_on(device.pk))
        return super().get_context_data(**given, by_pin=by_pin)

    def form_invalid(self, form: AuthenticationForm) -> HttpResponse:
        """The page with what is wrong; who has to wait is told so by the status, too."""
        answer = super().form_invalid(form)
        no = cast(SignInForm, form).refusal
        if no is not None and no.refusal_class is RefusalClass.TOO_MANY:
            answer.status_code = 429
            answer["Retry-After"] = str(no.details["seconds"])
        return answer


class SignOut(LogoutView):
    """Sign out; leads to the sign-in page for the next person."""
