"""Which units a browser asked for: a person's choice, kept in a cookie."""

from typing import Final

from django.http import HttpRequest

from maintenance.engine.units import UnitSystem

COOKIE: Final = "units"


def system_of(request: HttpRequest) -> UnitSystem:
    """Return the units that this browser shows; US until someone says otherwise."""
    return "si" if request.COOKIES.get(COOKIE) == "si" else "us"
