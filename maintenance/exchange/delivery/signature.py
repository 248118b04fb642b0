"""Signatures of requests after Standard Webhooks 1.0.0 (standardwebhooks.com).

HMAC-SHA256 over ``id.timestamp.body`` with a secret of 24 to 64 bytes, written as
``whsec_`` and base64; the signature is ``v1,`` and base64.
"""

import base64
import binascii
import hashlib
import hmac
import secrets
from typing import Final

from maintenance.engine.errors import InputError

PREFIX: Final = "whsec_"
_BYTES: Final = 32


def new_secret() -> str:
    """Return a secret of 32 random bytes."""
    return PREFIX + base64.b64encode(secrets.token_bytes(_BYTES)).decode()


def sign(*, key: str, timestamp: int, body: str, secret: str) -> str:
    """Return the signature of a request.

    Parameters
    ----------
    key : str
        The id of the message, the same at each attempt.
    timestamp : int
        When the attempt is made, in Unix seconds.
    body : str
        The body as it is sent.
    secret : str
        The secret that both sides know.

    Raises
    ------
    InputError
        If the secret cannot be read.
    """
    try:
        raw = base64.b64decode(secret.removeprefix(PREFIX), validate=True)
    except (binascii.Error, ValueError) as error:
        raise InputError(
            "the secret of this address cannot be read; have a new one made"
        ) from error
    signed = f"{key}.{timestamp}.{body}".encode()
    made = hmac.new(raw, signed, hashlib.sha256).digest()
    return f"v1,{base64.b64encode(made).decode()}"
