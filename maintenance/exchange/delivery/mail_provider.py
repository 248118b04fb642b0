"""What a mail provider's refusal means, where letters go out by its web interface.

The extra ``mail`` brings the ways to such providers. An answer of theirs is sure; a
request that was never answered may have been taken.
"""

from typing import Final

from requests import ConnectTimeout
from urllib3.exceptions import NewConnectionError

from maintenance.engine.reminding.attempts import Outcome

_SERVER_ERROR: Final = 500
_BUSY: Final = 503


def provider_outcome(fault: Exception) -> Outcome | None:
    """Return what an attempt came to; None where the fault is no provider's.

    Parameters
    ----------
    fault : Exception
        What the mail backend raised.
    """
    try:
        from anymail.exceptions import (  # noqa: PLC0415  (an extra: it may be absent)
            AnymailAPIError,
            AnymailError,
            AnymailRecipientsRefused,
        )
    except ImportError:
        return None
    if not isinstance(fault, AnymailError):
        return None
    said = " ".join(str(fault).split())[:300]
    if isinstance(fault, AnymailRecipientsRefused):
        return Outcome("refused_for_good", said)
    if not isinstance(fault, AnymailAPIError):
        return Outcome("refused", said)  # about the settings: a person mends them
    if fault.status_code is None:
        never = _never_reached(fault.__cause__)
        return Outcome("refused" if never else "unknown", said)
    sure = fault.status_code < _SERVER_ERROR or fault.status_code == _BUSY
    return Outcome("refused" if sure else "unknown", said)


def _never_reached(cause: BaseException | None) -> bool:
    """Tell a request that never left from one whose answer never came."""
    if isinstance(cause, ConnectTimeout):
        return True
    inner = cause.args[0] if cause is not None and cause.args else None
    return isinstance(getattr(inner, "reason", None), NewConnectionError)
