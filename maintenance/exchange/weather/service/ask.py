"""One question to the weather service: sent, bounded in time and size, answered."""

import re
from dataclasses import dataclass
from datetime import UTC, datetime
from http.client import HTTPException
from typing import Final

import requests
from requests.structures import CaseInsensitiveDict
from urllib3.exceptions import HTTPError, MaxRetryError, ProtocolError

from maintenance.engine.climate.fetched import Unreachable
from maintenance.engine.site.wording import shown
from maintenance.exchange.weather.service.address import Service
from maintenance.exchange.weather.service.session import WeatherSession, time_left

APPLICATION: Final = "irrigation-maintenance"
MOST_BYTES: Final = 5_000_000
"""A longer answer is no forecast: a raw grid has some 0.3 MB; project choice."""

MOST_REDIRECTS: Final = 4
REDIRECTS: Final = frozenset({301, 302, 303, 307, 308})
TOO_MANY: Final = 429
_PIECE: Final = 65_536
_SECONDS: Final = re.compile(r"\d{1,9}", re.ASCII)
_TIME: Final = "%a, %d %b %Y %H:%M:%S GMT"


class NoAnswerError(Exception):
    """The service gave nothing that can be used; holds what a person is told."""

    def __init__(
        self,
        why: str,
        *,
        retry_after_s: float | None = None,
        permanent: bool = False,
    ) -> None:
        super().__init__(why)
        self.answer = Unreachable(why, retry_after_s, permanent)


@dataclass(frozen=True, slots=True)
class Reply:
    """What came back; the body is empty unless the status is 200."""

    status: int
    body: bytes
    last_modified: str | None


@dataclass(frozen=True, slots=True)
class Asker:
    """Who asks, and whom."""

    session: WeatherSession
    service: Service
    contact: str

    def get(self, address: str, since: str | None = None) -> Reply:
        """Ask for an address.

        Parameters
        ----------
        address : str
            On the host of the service. [-]
        since : str or None
            The time of what is kept, where a 304 would do. [-]

        Returns
        -------
        Reply
            With any status except 429 and those of the service's own trouble. [-]

        Raises
        ------
        NoAnswerError
            If nothing came that can be used.
        """
        headers = {
            "User-Agent": f"{APPLICATION} ({self.contact})",
            "Accept": "application/geo+json, application/json",
        }
        if since is not None and http_time(since) is not None:
            headers["If-Modified-Since"] = since
        for _ in range(1 + MOST_REDIRECTS):
            try:
                found = self._sent(address, headers)
            # ValueError: what cannot be taken apart as an address or as text.
            except (HTTPError, HTTPException, OSError, ValueError) as error:
                raise NoAnswerError(_trouble(error)) from error
            if isinstance(found, Reply):
                return found
            address = found
        raise NoAnswerError(
            "The weather service sends the tool from one address to the next without "
            "an end; try again later."
        )

    def _sent(self, address: str, headers: dict[str, str]) -> Reply | str:
        try:
            return self._once(address, headers)
        except requests.ConnectionError as error:
            if not _is_hung_up(error):
                raise
            # A connection kept open can end just as it is used again.
            return self._once(address, headers)

    def _once(self, address: str, headers: dict[str, str]) -> Reply | str:
        """Return the reply, or the address that it sends to."""
        with self.session.get(
            address,
            headers=headers,
            timeout=time_left(),
            stream=True,
            allow_redirects=False,
            auth=_no_login,
            # No proxy stands between this computer and itself.
            proxies={"http": ""} if self.service.is_loopback else None,
        ) as answer:
            status = answer.status_code
            if status == TOO_MANY or status >= 500:
                raise NoAnswerError(
                    f"The weather service cannot answer now (status {status}); try "
                    "again later.",
                    retry_after_s=_retry_after_s(answer.headers),
                )
            if status in REDIRECTS:
                return self._moved(address, answer.headers.get("Location"))
            body = _body(answer) if status == 200 else b""
            modified = answer.headers.get("Last-Modified", "")
            known = modified if http_time(modified) is not None else None
            return Reply(status, body, known)

    def _moved(self, address: str, target: str | None) -> str:
        own = self.service.own(target, named_at=address)
        if own is None:
            raise NoAnswerError(
                "The weather service sends the tool elsewhere "
                f'("{shown(target or "")}"), where it does not follow; look whether '
                "this network asks for a login."
            )
        return own


def http_time(text: str) -> datetime | None:
    """Read a time as HTTP writes it.

    Parameters
    ----------
    text : str
        Such as ``Mon, 05 Oct 2026 17:20:00 GMT``. [-]

    Returns
    -------
    datetime or None
        Aware; None where it is no such time. [-]
    """
    try:
        return datetime.strptime(text, _TIME).replace(tzinfo=UTC)
    except ValueError:
        return None


def _no_login(request: requests.PreparedRequest) -> requests.PreparedRequest:
    """Send no login: without this, one kept in ~/.netrc would be sent."""
    return request


def _body(answer: requests.Response) -> bytes:
    pieces = bytearray()
    for piece in answer.iter_content(_PIECE):
        pieces += piece
        if len(pieces) > MOST_BYTES:
            raise NoAnswerError(
                "The weather service answers with more than "
                f"{MOST_BYTES // 1_000_000} MB, which is no forecast; try again later."
            )
    return bytes(pieces)


def _retry_after_s(headers: CaseInsensitiveDict[str]) -> float | None:
    """Return the wait asked for; a time counts from the service's own clock."""
    text = headers.get("Retry-After", "")
    if _SECONDS.fullmatch(text):
        return float(text)
    until, now = http_time(text), http_time(headers.get("Date", ""))
    if until is None or now is None:
        return None
    return max(0.0, (until - now).total_seconds())


def _is_hung_up(error: requests.ConnectionError) -> bool:
    """Whether the other side ended the connection before it answered anything."""
    inner = error.args[0] if error.args else None
    return isinstance(inner, ProtocolError) and any(
        isinstance(each, ConnectionError) for each in inner.args
    )


def _trouble(error: Exception) -> str:
    """Say in one sentence what went wrong on the way."""
    if isinstance(error, requests.Timeout | TimeoutError) or _is_late():
        return "The weather service did not answer in time; try again later."
    if isinstance(error, requests.exceptions.SSLError):
        return (
            "The weather service could not show that it is itself; look at the clock "
            "and the certificates of this computer."
        )
    inner = error.args[0] if error.args else None
    if isinstance(inner, MaxRetryError):
        return (
            "The weather service cannot be reached; look whether this computer is on "
            "the network."
        )
    return "The answer of the weather service broke off; try again later."


def _is_late() -> bool:
    try:
        time_left()
    except TimeoutError:
        return True
    return False
