"""People: members of accounts with their roles, invitations, and what they see."""

from typing import Final, Self, TypeVar

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Lower

from maintenance.models.accounts import Account, at_sites
from maintenance.models.fields import KEY_LENGTH, refuse_unstorable
from maintenance.models.history import kept_history
from maintenance.models.sites import Site

ROLES: Final = ("owner", "office", "technician", "tester", "reader", "customer")
_HASH_LENGTH: Final = 64

_Row = TypeVar("_Row", bound=models.Model)


class OfAccountQuerySet(models.QuerySet[_Row]):
    """Rows that belong to an account, whatever sites its reader sees."""

    def for_account(self, account: Account) -> Self:
        """Keep what is the account's."""
        return self.filter(account=account)


class MemberQuerySet(OfAccountQuerySet["Member"]):
    """Members."""

    def standing(self) -> Self:
        """Keep those who were not removed."""
        return self.filter(removed_at=None)


class InvitationQuerySet(OfAccountQuerySet["Invitation"]):
    """Invitations."""

    def waiting(self) -> Self:
        """Keep those that were neither accepted nor taken back."""
        return self.filter(accepted_at=None, withdrawn_at=None)


class GrantQuerySet(models.QuerySet["Grant"]):
    """Sites granted to customers."""

    def for_account(self, account: Account) -> Self:
        """Keep the grants of the account's sites that its reader sees."""
        return self.filter(at_sites(account, "site__"))

    def standing(self) -> Self:
        """Keep those that were not taken back."""
        return self.filter(revoked_at=None)


class Member(models.Model):
    """A person in one account; the row stays when the person goes.

    Records carry the name as text, so in one account a name stands for one person
    for ever, until that person is erased. ``key`` names the row where a record must
    not change even then. An erased member has no user and no name of their own.
    """

    account = models.ForeignKey(Account, models.PROTECT, related_name="members")
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="memberships",
    )
    key = models.CharField(max_length=40, validators=[refuse_unstorable])
    name = models.CharField(max_length=KEY_LENGTH, validators=[refuse_unstorable])
    role = models.CharField(max_length=20)
    joined_at = models.DateTimeField()
    removed_at = models.DateTimeField(null=True, blank=True)
    erased_at = models.DateTimeField(null=True, blank=True)

    objects = MemberQuerySet.as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=["key"], name="member_key_is_unique"),
            models.UniqueConstraint(
                fields=["account", "user"], name="member_is_in_an_account_once"
            ),
            models.UniqueConstraint(
                F("account"),
                Lower("name"),
                condition=Q(erased_at=None),
                name="member_name_stands_for_one_person",
            ),
            models.CheckConstraint(
                condition=Q(role__in=ROLES), name="member_role_is_known"
            ),
            models.CheckConstraint(
                condition=Q(erased_at=None)
                | (Q(user=None) & Q(removed_at__isnull=False)),
                name="member_erased_is_gone",
            ),
        )

    def __str__(self) -> str:
        """Return the name."""
        return self.name


class Grant(models.Model):
    """A site that a customer may see."""

    member = models.ForeignKey(Member, models.PROTECT, related_name="grants")
    site = models.ForeignKey(Site, models.PROTECT, related_name="grants")
    revoked_at = models.DateTimeField(null=True, blank=True)

    objects = GrantQuerySet.as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["member", "site"],
                condition=Q(revoked_at=None),
                name="grant_is_given_once",
            ),
        )

    def __str__(self) -> str:
        """Return who sees what."""
        return f"{self.member} sees {self.site}"


class Invitation(models.Model):
    """An invitation by a link that only its letter holds: here is a hash of it."""

    account = models.ForeignKey(Account, models.PROTECT, related_name="invitations")
    email = models.EmailField(validators=[refuse_unstorable])
    role = models.CharField(max_length=20)
    site_keys = models.JSONField(default=list, blank=True)
    token_hash = models.CharField(max_length=_HASH_LENGTH)
    invited_by = models.CharField(max_length=KEY_LENGTH, validators=[refuse_unstorable])
    made_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    accepted_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects = InvitationQuerySet.as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["token_hash"], name="invitation_link_is_unique"
            ),
            models.UniqueConstraint(
                F("account"),
                Lower("email"),
                condition=Q(accepted_at=None, withdrawn_at=None),
                name="invitation_waits_once",
            ),
            models.CheckConstraint(
                condition=Q(role__in=ROLES), name="invitation_role_is_known"
            ),
            models.CheckConstraint(
                condition=Q(ends_at__gt=F("made_at")),
                name="invitation_ends_after_it_begins",
            ),
        )

    def __str__(self) -> str:
        """Return the role, never the address."""
        return f"invitation as {self.role}"


class Held(models.Model):
    """Django's cache in the database: counts of tries that all processes share.

    The columns are Django's own (`django.core.cache.backends.db`).
    """

    cache_key = models.CharField(max_length=255, primary_key=True)
    value = models.TextField()
    expires = models.DateTimeField(db_index=True)

    class Meta:
        db_table = "maintenance_held"

    def __str__(self) -> str:
        """Return the key."""
        return self.cache_key
