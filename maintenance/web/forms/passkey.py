"""The form that adds a passkey: one that signs in by itself, unless told otherwise."""

from typing import Any

from allauth.mfa.webauthn.forms import AddWebAuthnForm


class PasskeyForm(AddWebAuthnForm):  # type: ignore[misc]
    """The library's own, in our words."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        alone = self.fields["passwordless"]
        alone.initial = True
        alone.label = "It signs in by itself, without the password"
        alone.help_text = (
            "It then asks for your finger, your face or a PIN. A plain key that cannot "
            "do so comes after the password: take the tick off."
        )
