"""Endpoints of the signed-in person: token, roles, password, PIN, preferences."""

from datetime import datetime

import msgspec
from rest_framework.permissions import AllowAny

from api.inputs import Body, Name
from api.operations import View, asks, reads
from api.origin import origin_of
from api.throttles import Write
from prep.actions import people
from prep.actions.accounts import passwords, tokens
from prep.actions.perform import perform
from prep.queries.people import sites_of
from prep.queries.sites import named_sites
from prep.record.person.commands.access import SignOutEverywhere
from prep.record.person.commands.settings import Prefer
from prep.record.person.person_command import Language, Numbers, Units
from prep.record.token.scopes import READ


class SignInBody(Body, frozen=True, kw_only=True):
    """User name and password."""

    username: Name
    password: Name


class Token(msgspec.Struct, frozen=True, kw_only=True):
    """A token; send it as `Authorization: Token …` until it expires."""

    token: str
    expires: datetime


class SiteRoles(msgspec.Struct, frozen=True, kw_only=True):
    """A site and the roles held there."""

    site: str
    name: str
    time_zone: str
    roles: list[str]


class Me(msgspec.Struct, frozen=True, kw_only=True):
    """The person signed in."""

    id: str
    username: str
    printed_name: str
    language: str
    units: str
    decimal_comma: bool | None
    sites: list[SiteRoles]


class PinBody(Body, frozen=True, kw_only=True):
    """The new PIN, confirmed by the password."""

    password: Name
    pin: Name


class PasswordBody(Body, frozen=True, kw_only=True):
    """The new password, confirmed by the one you have."""

    password: Name
    new_password: Name


class PreferencesBody(Body, frozen=True, kw_only=True):
    """What you choose."""

    language: Language | None = None
    units: Units | None = None
    numbers: Numbers | None = None


class SignInView(View):
    """Signing in."""

    tag = "people"
    authentication_classes = ()
    permission_classes = (AllowAny,)
    throttle_classes = ()  # attempts are counted where they are judged

    @asks
    def post(self, body: SignInBody) -> Token:
        """Sign in for a token.

        It is good for 12 hours, with all that you may do, and shown once; only its hash is kept.
        Where `Device-Key` is sent, the token works only with that key, and ends with the device.
        """
        origin = origin_of(self.request)
        person = passwords.signed_in(body.username, body.password, origin)
        made = tokens.sign_in(person, origin.device)
        return Token(token=made.text, expires=made.token.expires)


class SignOutView(View):
    """Signing out."""

    tag = "people"
    throttle_classes = (Write,)

    @asks
    def post(self) -> None:
        """Sign out: the token sent is worthless from now on.

        A token of a program is revoked instead.
        """
        tokens.sign_out(self.person.access.token)


class MeView(View):
    """The person signed in."""

    tag = "people"
    reading = READ

    @reads
    def get(self) -> Me:
        """Who you are, and your roles at each of your sites."""
        person = self.person
        held = sites_of(person)
        return Me(
            id=str(person.pk),
            username=person.username,
            printed_name=str(person),
            language=person.language,
            units=person.units,
            decimal_comma=person.decimal_comma,
            sites=[
                SiteRoles(
                    site=site.code,
                    name=site.name,
                    time_zone=site.time_zone,
                    roles=sorted(role.value for role in held[site.code]),
                )
                for site in named_sites(held)
            ],
        )


class PinView(View):
    """Your PIN for sign-offs."""

    tag = "people"

    @asks
    def post(self, body: PinBody) -> None:
        """Change your PIN."""
        people.change_pin(
            actor=self.person,
            password=body.password,
            pin=body.pin,
            origin=origin_of(self.request),
        )


class PasswordView(View):
    """Your password."""

    tag = "people"

    @asks
    def post(self, body: PasswordBody) -> None:
        """Change your password.

        Every session and token of yours ends, this one as well: sign in again.
        """
        people.change_password(
            actor=self.person,
            password=body.password,
            new=body.new_password,
            origin=origin_of(self.request),
        )


class PreferencesView(View):
    """Your language, units and number style."""

    tag = "people"

    @asks
    def post(self, body: PreferencesBody) -> None:
        """Choose your language, units and number style; what is left out stays as it is."""
        chosen = Prefer(language=body.language, units=body.units, numbers=body.numbers)
        perform(chosen, actor=self.person, target=self.person.pk)


class SignOutEverywhereView(View):
    """Signing out everywhere."""

    tag = "people"

    @asks
    def post(self) -> None:
        """End every session and token of yours, this one as well."""
        perform(SignOutEverywhere(), actor=self.person, target=self.person.pk)
