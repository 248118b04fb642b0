"""How signing in is done here: by invitation only, and wrong tries are counted."""

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from allauth.account.internal.flows.login import perform_password_login
from allauth.account.models import Login
from allauth.core.exceptions import ImmediateHttpResponse
from allauth.core.internal import ratelimit
from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse

_APP = "allauth.account"


class Adapter(DefaultAccountAdapter):  # type: ignore[misc]
    """The library's own way but for two things."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Let nobody make a sign-in of their own: there are invitations."""
        return False

    def pre_authenticate(self, request: HttpRequest, **credentials: Any) -> None:
        """Count a try before it is looked at, and refuse one too many with 429.

        Four wrong tries for one name from one address; and, slower, so many from one
        address and so many for one name from anywhere. A right one is not counted
        against name and address together; the two slow counts keep it, so that
        nobody can wash wrong tries off with a right one of their own.
        """
        name = str(credentials.get("email") or credentials.get("username") or "")
        name = name.lower()
        address = ratelimit.get_ip(request)
        usage = None
        for action, key in (
            ("login_failed", f"{address} {name}"),
            ("login_failed_address", None),
            ("login_failed_person", name),
        ):
            counted = ratelimit.consume(request, app=_APP, action=action, key=key)
            if not counted:
                raise ImmediateHttpResponse(ratelimit.respond_429(request))
            usage = usage or counted
        self._login_failed_rl_usage = usage

    def _get_login_attempts_cache_key(
        self, request: HttpRequest, **credentials: Any
    ) -> str:
        name = str(credentials.get("email") or credentials.get("username") or "")
        return f"{ratelimit.get_ip(request)} {name.lower()}"


def shown(user: User) -> str:
    """Return what stands for a person on the pages about signing in."""
    return user.email


def sign_in(request: HttpRequest, user_id: int, *, email: str) -> HttpResponse:
    """Sign a person in who has just chosen their password, and lead on."""
    user = User.objects.get(pk=user_id)
    answer: HttpResponse = perform_password_login(
        request, {"email": email}, Login(user=user, email=email)
    )
    return answer
