"""Addresses of the pages about people."""

from django.urls import URLPattern, path

from maintenance.web.views import people, people_invite, people_member, people_own

urlpatterns: list[URLPattern] = [
    path("people/", people.people, name="people"),
    path("people/account/", people.change, name="change_account"),
    path("people/everything/", people.export, name="export_account"),
    path("people/invite/", people_invite.invite, name="invite"),
    path(
        "people/invitations/<number:invitation>/take-back/",
        people_invite.withdraw,
        name="withdraw_invitation",
    ),
    path("people/member/<str:member>/", people_member.member, name="member"),
    path(
        "people/member/<str:member>/remove/",
        people_member.remove,
        name="remove_member",
    ),
    path("people/member/<str:member>/erase/", people_member.erase, name="erase_member"),
    path("you/", people_own.you, name="you"),
    path("you/account/", people_own.choose_account, name="choose_account"),
    path("invitations/<str:secret>/", people_own.invitation, name="invitation"),
]
