"""A forecast asked of the weather service: what is asked, what came, when to retry."""

import math
import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.errors import InputError

FIRST_WAIT_S: Final = 300.0
"""Wait after the first failure, doubled with each further one [s]; choice."""

LONGEST_WAIT_S: Final = 6 * 3600.0
"""Longer than this the tool does not wait by itself [s].

Project choice: half of the age at which a forecast is trusted less.
"""

LONGEST_ASKED_S: Final = 24 * 3600.0
"""Longer than this it does not wait where the service asks for it [s]; choice."""

JITTER: Final = 0.25
"""Share of a wait that jitter may add, so that sites do not all ask at once; choice."""

_LABEL: Final = r"[A-Za-z0-9](?:[A-Za-z0-9-]{0,61}[A-Za-z0-9])?"
_CONTACT: Final = re.compile(
    rf"[A-Za-z0-9.!#$%&'*+/=?^_{{|}}~-]{{1,64}}@(?:{_LABEL}\.){{1,8}}{_LABEL}"
)


@dataclass(frozen=True, slots=True)
class Addresses:
    """Where the service keeps the forecast of a place, as it told itself."""

    hourly: str
    grid: str


@dataclass(frozen=True, slots=True)
class PlaceAsked:
    """A place whose forecast is wanted, and what is known from asking before.

    ``addresses`` is None until the service has told them. ``last_modified`` is what
    came with the forecast that is kept, None where there is none.
    """

    latitude_deg: float
    longitude_deg: float
    addresses: Addresses | None
    last_modified: str | None


@dataclass(frozen=True, slots=True)
class Fetched:
    """A forecast as the service gave it.

    ``last_modified`` is None where the service does not tell, and for an hourly
    forecast that stands in for the grid: the next time all of it is asked for.
    """

    forecast: Forecast
    addresses: Addresses
    last_modified: str | None


@dataclass(frozen=True, slots=True)
class NotModified:
    """The forecast that is kept is still the latest."""

    addresses: Addresses


@dataclass(frozen=True, slots=True)
class Unreachable:
    """No forecast came.

    ``why`` is one sentence for a person; ``retry_after_s`` is what the service asked
    to wait; ``permanent`` tells that asking the same again cannot help.
    """

    why: str
    retry_after_s: float | None
    permanent: bool


Answer = Fetched | NotModified | Unreachable


def is_contact(text: str) -> bool:
    """Whether a text is an address that the service could write to.

    Parameters
    ----------
    text : str
        As the person gave it. [-]

    Returns
    -------
    bool
        True for an e-mail address in plain letters; whether anybody reads it is not
        known. [-]

    Examples
    --------
    >>> is_contact("grounds@larkmoor.example"), is_contact("grounds at larkmoor")
    (True, False)
    """
    return _CONTACT.fullmatch(text) is not None


def next_try(
    failures: int, retry_after_s: float | None, now: datetime, jitter: float = 0.0
) -> datetime:
    """Return when to ask again after failures in a row.

    Parameters
    ----------
    failures : int
        How often asking has failed since it last worked, at least 1. [-]
    retry_after_s : float or None
        What the service asked to wait, at least 0. [s]
    now : datetime
        When it failed last. [-]
    jitter : float
        Chance number from 0 to 1, drawn by the caller. [-]

    Returns
    -------
    datetime
        Later than now. [-]

    Raises
    ------
    InputError
        If a number is outside its range.

    Notes
    -----
    wait = max(min(5 min · 2^(failures - 1), 6 h), min(asked, 24 h)), and up to a
    quarter of it more. Exponential back-off is common practice; the numbers are
    project choices.

    Examples
    --------
    >>> from datetime import UTC
    >>> now = datetime(2026, 10, 5, 18, tzinfo=UTC)
    >>> [str(next_try(n, None, now) - now) for n in (1, 2, 9)]
    ['0:05:00', '0:10:00', '6:00:00']
    >>> str(next_try(1, 1800.0, now, jitter=1.0) - now)
    '0:37:30'
    """
    if failures < 1:
        raise InputError("failures must be at least 1", input="failures", low=1.0)
    if not 0.0 <= jitter <= 1.0:
        raise InputError(
            "jitter must be from 0 to 1", input="jitter", low=0.0, high=1.0
        )
    asked_s = retry_after_s or 0.0
    if math.isnan(asked_s) or asked_s < 0.0:
        raise InputError(
            "retry_after_s must be at least 0", input="retry_after_s", low=0.0
        )
    doublings = min(failures - 1, 32)
    own_s = min(FIRST_WAIT_S * 2.0**doublings, LONGEST_WAIT_S)
    wait_s = max(own_s, min(asked_s, LONGEST_ASKED_S))
    return now + timedelta(seconds=wait_s * (1.0 + JITTER * jitter))
