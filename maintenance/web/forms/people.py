"""Forms about people: the services say what is wrong, these keep what was typed."""

from collections.abc import Iterable, Iterator
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from maintenance.services.inventory.queries import SiteLine
from maintenance.services.people.roles import IN_WORDS, ROLES

_ROLES = [(role, IN_WORDS[role]) for role in ROLES]


class _Questions(forms.Form):
    """One group of questions without a heading."""

    use_required_attribute = False

    def grouped(self) -> Iterator[tuple[str, list[BoundField]]]:
        """Give all fields."""
        yield "", list(self)


class RoleForm(_Questions):
    """A role, and the sites of a customer."""

    role = forms.ChoiceField(label="Role", choices=_ROLES, initial="technician")
    sites = forms.MultipleChoiceField(
        label="Sites of a customer",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="For the role of customer only; everyone else sees every site.",
    )

    def __init__(
        self, *args: Any, lines: Iterable[SiteLine], customers: bool, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        keys = [(line.key, line.name) for line in lines]
        sites: Any = self.fields["sites"]
        role: Any = self.fields["role"]
        sites.choices = keys
        if not customers or not keys:
            del self.fields["sites"]
        if not customers:
            role.choices = [choice for choice in _ROLES if choice[0] != "customer"]

    def site_keys(self) -> list[str]:
        """Return the ids of the sites that were ticked."""
        return list(self.cleaned_data.get("sites", ()))


class InviteForm(RoleForm):
    """Whom to invite, as what."""

    field_order = ("email", "role", "sites")

    email = forms.CharField(
        label="E-mail address",
        max_length=254,
        widget=forms.EmailInput(attrs={"autocomplete": "off"}),
        help_text="The link goes there, and it works for this address alone.",
    )


class AccountForm(_Questions):
    """What an account is called, and whose sites it keeps."""

    name = forms.CharField(label="Name of the account", max_length=200)
    kind = forms.ChoiceField(
        label="It keeps",
        choices=[
            ("owner", "our own sites"),
            ("contractor", "sites of customers"),
        ],
    )


class NameForm(_Questions):
    """The name of one who has a sign-in already."""

    name = forms.CharField(
        label="Your name",
        max_length=60,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
        help_text="As it shall stand on lists and reports. It stays as you write it.",
    )


class JoinForm(NameForm):
    """The name and the password of one who is new."""

    password = forms.CharField(
        label="Password",
        max_length=4096,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="At least 12 characters; a few words in a row are good.",
    )
