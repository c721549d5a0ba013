"""Signing in and out. Tablets are shared, so switching the user is one button away."""

from django.contrib.auth.views import LoginView, LogoutView


class SignIn(LoginView):
    """The sign-in page: name and password."""

    template_name = "sign_in.html"
    redirect_authenticated_user = True


class SignOut(LogoutView):
    """Sign out; leads to the sign-in page for the next person."""
