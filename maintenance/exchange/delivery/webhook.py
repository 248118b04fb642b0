"""Signed requests to addresses that an account has given; redirects are not followed."""

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Final

import urllib3
from certifi import where
from urllib3.exceptions import (
    ConnectTimeoutError,
    HTTPError,
    NewConnectionError,
    SSLError,
)

from maintenance.engine.errors import InputError
from maintenance.engine.reminding.attempts import Outcome
from maintenance.engine.reminding.letters import Delivery, HookCall
from maintenance.exchange.delivery.public_address import (
    Resolve,
    Target,
    find_target,
    is_public,
    resolve as resolve_name,
)
from maintenance.exchange.delivery.signature import sign

_SECONDS: Final = urllib3.Timeout(connect=10, read=20)
_OK, _REDIRECT, _REFUSED, _GONE = 200, 300, 400, 410
_MOST_READ: Final = 300


class WebhookChannel:
    """Requests after Standard Webhooks: the id is the message's key at each attempt.

    A receiver that has seen an id leaves it be, so that a lost reply is simply sent
    again.
    """

    knows_keys = True

    def __init__(
        self,
        clock: Callable[[], datetime],
        *,
        resolve: Resolve = resolve_name,
        may_reach: Callable[[str], bool] = is_public,
        schemes: tuple[str, ...] = ("https",),
    ) -> None:
        self._clock = clock
        self._resolve = resolve
        self._may_reach = may_reach
        self._schemes = schemes

    def deliver(self, delivery: Delivery) -> Outcome:
        """Make the request."""
        if not isinstance(delivery, HookCall):
            return Outcome("refused_for_good", "this is no request")
        try:
            target = find_target(
                delivery.url,
                resolve=self._resolve,
                may_reach=self._may_reach,
                schemes=self._schemes,
            )
        except InputError as refusal:
            return Outcome("refused_for_good", str(refusal))
        except (OSError, UnicodeError) as fault:
            return Outcome("refused", f"the name was not found ({fault})")
        timestamp = int(self._clock().astimezone(UTC).timestamp())
        headers = {
            "Content-Type": "application/json",
            "Host": _host_header(target),
            "User-Agent": "irrigation-maintenance",
            "webhook-id": delivery.key,
            "webhook-timestamp": str(timestamp),
            "webhook-signature": sign(
                key=delivery.key,
                timestamp=timestamp,
                body=delivery.body,
                secret=delivery.secret,
            ),
        }
        return _post(target, delivery.body.encode(), headers)


def _post(target: Target, body: bytes, headers: dict[str, str]) -> Outcome:
    try:
        with _pool(target) as pool:
            answer = pool.request(
                "POST",
                target.path,
                body=body,
                headers=headers,
                redirect=False,
                retries=False,
                preload_content=False,
            )
            said = answer.read(_MOST_READ, decode_content=False)
            answer.close()
    except (NewConnectionError, ConnectTimeoutError, SSLError) as fault:
        return Outcome("refused", f"not reached ({_named(fault)})")
    except (HTTPError, OSError) as fault:
        return Outcome("unknown", f"no answer came ({_named(fault)})")
    return _outcome(answer.status, said)


def _pool(target: Target) -> urllib3.HTTPConnectionPool:
    """Connect to the address that was looked at, and hold it to the name it is for."""
    if target.scheme == "https":
        return urllib3.HTTPSConnectionPool(
            target.address,
            target.port,
            timeout=_SECONDS,
            server_hostname=target.host,
            assert_hostname=target.host,
            cert_reqs="CERT_REQUIRED",
            ca_certs=where(),
        )
    return urllib3.HTTPConnectionPool(target.address, target.port, timeout=_SECONDS)


def _host_header(target: Target) -> str:
    host = f"[{target.host}]" if ":" in target.host else target.host
    usual = {"https": 443, "http": 80}[target.scheme]
    return host if target.port == usual else f"{host}:{target.port}"


def _outcome(status: int, said: bytes) -> Outcome:
    words = " ".join(said.decode("utf-8", "replace").split())
    if _OK <= status < _REDIRECT:
        return Outcome("accepted")
    if _REDIRECT <= status < _REFUSED:
        error = f"{status}: it sends on to another address; give that one"
        return Outcome("refused_for_good", error)
    if status == _GONE:
        return Outcome("refused_for_good", f"{status}: it wants no more requests")
    return Outcome("refused", f"{status} {words}".strip())


def _named(fault: Exception) -> str:
    return f"{type(fault).__name__}: {fault}"[:200]
