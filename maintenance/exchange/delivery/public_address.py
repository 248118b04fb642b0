"""Which addresses a request may go to: public ones, looked at after resolution.

A name may lead to this machine or to its neighbours, and may lead elsewhere at the
next look; so it is resolved once, each answer is looked at, and the request goes to
the address that was looked at.
"""

import ipaddress
import socket
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlsplit

from maintenance.engine.errors import InputError

Resolve = Callable[[str, int], list[str]]
_PORTS: Final = {"https": 443, "http": 80}
# They carry an IPv4 address inside, which may be a private one.
_CARRIERS: Final = tuple(
    ipaddress.ip_network(each)
    for each in ("64:ff9b::/96", "64:ff9b:1::/48", "2002::/16")
)


@dataclass(frozen=True, slots=True)
class Target:
    """Where a request goes: the address to connect to, and the name it is for."""

    scheme: str
    host: str
    address: str
    port: int
    path: str


def resolve(host: str, port: int) -> list[str]:
    """Return the addresses of a name.

    Raises
    ------
    OSError
        If it has none.
    """
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    return list(dict.fromkeys(str(each[4][0]) for each in found))


def is_public(address: str) -> bool:
    """Whether an address lies outside this machine, its network and special uses."""
    try:
        read = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return False
    if isinstance(read, ipaddress.IPv6Address):
        if read.ipv4_mapped is not None:
            return is_public(str(read.ipv4_mapped))
        if any(read in each for each in _CARRIERS):
            return False
    return read.is_global and not read.is_multicast and not read.is_reserved


def check_url(url: str, *, schemes: tuple[str, ...] = ("https",)) -> str:
    """Return the host of a URL that may be told, as far as the text shows.

    Raises
    ------
    InputError
        If it is no such URL.
    """
    try:
        parts = urlsplit(url)
        port = parts.port or _PORTS.get(parts.scheme, 0)
    except ValueError as error:
        raise InputError(f'"{url[:60]}" is no address of the web') from error
    if parts.scheme not in schemes or not parts.hostname or not port:
        raise InputError(
            f'"{url[:60]}" cannot be told: write an address that begins with '
            f"{schemes[0]}://"
        )
    if parts.username is not None or parts.password is not None:
        raise InputError("leave the name and the password out of the address")
    if any(not sign.isprintable() or sign.isspace() for sign in url):
        raise InputError("the address holds a space or a sign that cannot be seen")
    return parts.hostname


def find_target(
    url: str,
    *,
    resolve: Resolve = resolve,
    may_reach: Callable[[str], bool] = is_public,
    schemes: tuple[str, ...] = ("https",),
) -> Target:
    """Return where a request to a URL goes.

    Parameters
    ----------
    url : str
        The URL.
    resolve, may_reach : callable
        How names are looked up, and which addresses may be reached.
    schemes : tuple of str
        Which ways of talking are allowed.

    Raises
    ------
    InputError
        If the URL cannot be used, or any of its addresses may not be reached.
    OSError
        If the name cannot be resolved.
    """
    host = check_url(url, schemes=schemes)
    parts = urlsplit(url)
    port = parts.port or _PORTS[parts.scheme]
    addresses = resolve(host, port)
    if not addresses or not all(may_reach(each) for each in addresses):
        raise InputError(
            f'"{host}" leads to an address that is not public; only public ones are told'
        )
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    return Target(parts.scheme, host, addresses[0], port, path)
