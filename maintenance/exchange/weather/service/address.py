"""Addresses of the weather service: its own, and those that it names itself."""

import math
import re
from dataclasses import dataclass
from ipaddress import ip_address
from typing import Final
from urllib.parse import SplitResult, urljoin, urlsplit

MOST_DECIMALS: Final = 4
"""The service answers a position with more of them with an error (general-faqs.md)."""

_HOST: Final = re.compile(r"[a-z0-9.:_-]{1,253}", re.ASCII)
_PATH: Final = re.compile(r"/[!-~]{1,400}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Service:
    """The one host that is asked, over TLS unless it is this computer itself."""

    scheme: str
    host: str
    origin: str

    @property
    def is_loopback(self) -> bool:
        """Whether it runs on this computer."""
        return _is_loopback(self.host)

    def point(self, latitude_deg: float, longitude_deg: float) -> str:
        """Return where the service tells which forecast holds for a position."""
        position = f"{_decimals(latitude_deg)},{_decimals(longitude_deg)}"
        return f"{self.origin}/points/{position}"

    def own(self, address: object, *, named_at: str = "") -> str | None:
        """Return an address on this host, or None where it leads elsewhere.

        The port is that of the service itself whatever the address says: the service
        is known to name port 80 in addresses that begin with https.
        """
        if not isinstance(address, str):
            return None
        try:
            parts = urlsplit(urljoin(named_at, address))
            host = parts.hostname
        except ValueError:
            return None
        if parts.scheme != self.scheme or host != self.host or "@" in parts.netloc:
            return None
        path = f"{parts.path}?{parts.query}" if parts.query else parts.path
        return f"{self.origin}{path}" if _PATH.fullmatch(path) else None


def service_at(base_url: str) -> Service | None:
    """Read the address of the service.

    Parameters
    ----------
    base_url : str
        Such as ``https://api.weather.gov``; plain http to this computer only. [-]

    Returns
    -------
    Service or None
        None where it is no such address. [-]
    """
    try:
        parts = urlsplit(base_url)
        host, port = parts.hostname, parts.port
    except ValueError:
        return None
    if host is None or not _HOST.fullmatch(host) or not _is_bare(parts):
        return None
    if parts.scheme != "https" and not (parts.scheme == "http" and _is_loopback(host)):
        return None
    named = f"[{host}]" if ":" in host else host
    origin = f"{parts.scheme}://{named}" + ("" if port is None else f":{port}")
    return Service(parts.scheme, host, origin)


def is_on_earth(latitude_deg: float, longitude_deg: float) -> bool:
    """Whether a position is one.

    Parameters
    ----------
    latitude_deg, longitude_deg : float
        The position. [°]

    Returns
    -------
    bool
        False for NaN as well. [-]
    """
    return abs(latitude_deg) <= 90.0 and abs(longitude_deg) <= 180.0


def _is_bare(parts: SplitResult) -> bool:
    return not parts.path.strip("/") and not (
        parts.query or parts.fragment or "@" in parts.netloc
    )


def _is_loopback(host: str) -> bool:
    try:
        return host == "localhost" or ip_address(host).is_loopback
    except ValueError:
        return False


def _decimals(degrees: float) -> str:
    """Write a number without the zeros at its end, which the service redirects."""
    rounded = round(degrees, MOST_DECIMALS)
    text = f"{math.copysign(rounded, 1.0) if rounded == 0.0 else rounded:.4f}"
    return text.rstrip("0").rstrip(".")
