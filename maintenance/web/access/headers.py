"""What every answer tells the browser, whoever made the answer."""

from collections.abc import Callable
from typing import Final

from django.http import HttpRequest
from django.http.response import HttpResponseBase

from maintenance.web.access.viewer import accounts_on

_NOT_NEEDED: Final = (
    "accelerometer",
    "camera",
    "display-capture",
    "geolocation",
    "gyroscope",
    "magnetometer",
    "microphone",
    "midi",
    "payment",
    "usb",
)
PERMISSIONS: Final = ", ".join(f"{name}=()" for name in _NOT_NEEDED)


class Headers:
    """Stands outside all that could answer by itself, so that errors are met too.

    Nosniff, the referrer, the opener and https are told by Django's own middleware
    in front of this one, the policy by the one behind it.
    """

    def __init__(self, answer: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self._answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer, and add what is missing."""
        answer = self._answer(request)
        answer.headers.setdefault("Permissions-Policy", PERMISSIONS)
        # Static files say themselves how long they may be kept.
        if accounts_on():
            answer.headers.setdefault("Cache-Control", "no-store")
        return answer
