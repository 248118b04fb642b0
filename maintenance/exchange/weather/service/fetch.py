"""The forecast of a place, fetched from the public weather service.

The steps are those of the service's own documentation (``weather-gov/api``,
general-faqs.md and gridpoints.md): the point names the addresses of its forecasts,
these are kept, and each is asked for what has changed since the last time.
"""

import time
from collections.abc import Callable
from contextlib import ExitStack
from typing import Final

from maintenance.engine.climate.fetched import (
    Addresses,
    Answer,
    Fetched,
    NotModified,
    PlaceAsked,
    Unreachable,
    is_contact,
)
from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.site.faults import Faults
from maintenance.engine.site.wording import shown
from maintenance.exchange.json_text import parse_json
from maintenance.exchange.weather.forecast_json import read_forecast_json
from maintenance.exchange.weather.plain_text import plain_text
from maintenance.exchange.weather.service.address import (
    Service,
    is_on_earth,
    service_at,
)
from maintenance.exchange.weather.service.ask import Asker, NoAnswerError, Reply
from maintenance.exchange.weather.service.session import WeatherSession, deadline

FOUND, NOT_MODIFIED, WRONG, GONE = 200, 304, 400, 404
DEADLINE_S: Final = 20.0
"""As long as a person may wait for a page; project choice [s]."""


def fetch_forecast(
    place: PlaceAsked,
    *,
    contact: str,
    base_url: str,
    session: WeatherSession | None = None,
    deadline_s: float = DEADLINE_S,
    clock: Callable[[], float] = time.monotonic,
) -> Answer:
    """Fetch the forecast of a place.

    Parameters
    ----------
    place : PlaceAsked
        Where, and what is known from asking before. [°]
    contact : str
        E-mail address that the service may write to; it is sent to it. [-]
    base_url : str
        Address of the service: https, or http on this computer. [-]
    session : WeatherSession or None
        Connections kept open from one place to the next. [-]
    deadline_s : float
        Longest wait for all that has to be asked. [s]
    clock : callable
        Monotonic. [s]

    Returns
    -------
    Answer
        Whatever the network or the service does, one of the three. [-]

    Notes
    -----
    The look-up of the host's name waits as long as the computer's own resolver does,
    and each of several numbers of one host is tried in turn.
    """
    service = service_at(base_url)
    if service is None:
        return _never(
            f'The address of the weather service, "{shown(base_url)}", is none with '
            "https and a host; mend it in the settings."
        )
    if not is_contact(contact):
        return _never(
            "No forecast is fetched without a contact address; give an e-mail address "
            'like "grounds@larkmoor.example".'
        )
    if not is_on_earth(place.latitude_deg, place.longitude_deg):
        return _never(
            f"The position {place.latitude_deg:g}, {place.longitude_deg:g} is not on "
            "Earth; mend the latitude and longitude of the site."
        )
    with ExitStack() as stack:
        stack.enter_context(deadline(clock, deadline_s))
        used = session or stack.enter_context(WeatherSession())
        try:
            return _fetch(place, Asker(used, service, contact))
        except NoAnswerError as none:
            return none.answer


def _never(why: str) -> Unreachable:
    return Unreachable(why, None, permanent=True)


def _fetch(place: PlaceAsked, asker: Asker) -> Answer:
    kept = _own(place.addresses, asker.service)
    since = place.last_modified if kept else None
    addresses = kept or _ask_point(place, asker)
    reply = asker.get(addresses.grid, since)
    if kept and reply.status == GONE:
        # The grid of an office can be cut anew: the place lies in another square.
        addresses, since = _ask_point(place, asker), None
        reply = asker.get(addresses.grid)
    if reply.status == NOT_MODIFIED and since is not None:
        return NotModified(addresses)
    found = _read(reply)
    if isinstance(found, Forecast):
        return Fetched(found, addresses, reply.last_modified)
    instead = _read(asker.get(addresses.hourly))
    if isinstance(instead, Forecast):
        return Fetched(instead, addresses, None)
    raise NoAnswerError(
        f"The weather service gives no forecast for this place: its grid {found}, its "
        f"hourly forecast {instead}; try again later."
    )


def _ask_point(place: PlaceAsked, asker: Asker) -> Addresses:
    address = asker.service.point(place.latitude_deg, place.longitude_deg)
    reply = asker.get(address)
    if reply.status in (WRONG, GONE):
        raise NoAnswerError(
            "The weather service has no forecast for this position; look at the "
            "latitude and longitude of the site, or give forecast files.",
            permanent=True,
        )
    if reply.status != FOUND:
        raise NoAnswerError(
            f"The weather service refuses the tool (status {reply.status}); look "
            "whether the contact address is right."
        )
    return _addresses(reply.body, asker.service)


def _addresses(body: bytes, service: Service) -> Addresses:
    try:
        value, _ = parse_json(body)
    except Faults:
        value = None
    inside = value.get("properties") if isinstance(value, dict) else None
    if not isinstance(inside, dict):
        raise NoAnswerError(
            "The weather service answers for this position with something that the "
            "tool does not know; try again later."
        )
    named = [inside.get(key) for key in ("forecastHourly", "forecastGridData")]
    if None in named:
        raise NoAnswerError(
            "The weather service names no forecast for this position at present; try "
            "again later."
        )
    hourly, grid = (service.own(each) for each in named)
    if hourly is None or grid is None:
        raise NoAnswerError(
            "The weather service names an address elsewhere for this position, where "
            "the tool does not ask; try again later."
        )
    return Addresses(hourly=hourly, grid=grid)


def _own(addresses: Addresses | None, service: Service) -> Addresses | None:
    """Return what was kept, or None where it is not of this service."""
    if addresses is None:
        return None
    hourly, grid = service.own(addresses.hourly), service.own(addresses.grid)
    return Addresses(hourly, grid) if hourly and grid else None


def _read(reply: Reply) -> Forecast | str:
    """Return the forecast, or what is wrong with it."""
    if reply.status != FOUND:
        return f"is refused (status {reply.status})"
    try:
        return read_forecast_json(plain_text(reply.body))
    except Faults as refusal:
        fault = refusal.faults[0]
        return f"cannot be read ({fault.path} {fault.text.partition(';')[0]})"
