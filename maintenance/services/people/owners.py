"""The first owner of an account, made by whoever runs the machine."""

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from maintenance.models import Account, Member
from maintenance.services.inventory.rows import Act
from maintenance.services.people.accept import add_member, make_user
from maintenance.services.people.hold import hold_people

ACTOR = "the command make_owner"


def has_owner() -> bool:
    """Tell whether any account has an owner who can sign in."""
    return Member.objects.standing().filter(role="owner").exists()


def make_owner(
    account: Account, *, email: str, name: str, password: str, now: datetime
) -> bool:
    """Make a person an owner; tell whether their sign-in was made as well.

    One who signs in already keeps their password, whatever is given here.
    """
    address = email.strip().lower()
    act = Act(ACTOR, now)
    with transaction.atomic():
        hold_people(account)
        user = User.objects.filter(email__iexact=address).first()
        made = user is None
        if user is None:
            user = make_user(address, password=password)
        add_member(account, user, name=name, role="owner", act=act)
    return made
