"""Addresses of what is due, of who is reminded, and of the links that need no sign-in."""

from django.urls import URLPattern, path

from maintenance.web.secret_links import hide_secrets_in_logs
from maintenance.web.views import (
    feeds,
    reminder_people,
    reminder_steps,
    reminders,
    reminders_sent,
)

hide_secrets_in_logs()

urlpatterns: list[URLPattern] = [
    path("due/", reminders.due, name="due"),
    path("due/new/", reminders.new, name="due_new"),
    path("due/coming/", reminders_sent.coming, name="reminders_coming"),
    path("due/sent/", reminders_sent.sent, name="reminders_sent"),
    path(
        "due/sent/<number:message>/again/",
        reminders_sent.again,
        name="reminders_again",
    ),
    path("due/people/", reminder_people.people, name="reminded"),
    path("due/people/new/", reminder_people.new, name="reminded_new"),
    path("due/people/<number:person>/", reminder_people.edit, name="reminded_edit"),
    path(
        "due/people/<number:person>/take-off/",
        reminder_people.take_off,
        name="reminded_take_off",
    ),
    path(
        "due/people/<number:person>/resume/",
        reminder_people.resume,
        name="reminded_resume",
    ),
    path(
        "due/people/<number:person>/test/", reminder_people.test, name="reminded_test"
    ),
    path("due/addresses/new/", reminder_people.new_address, name="webhook_new"),
    path(
        "due/addresses/<number:webhook>/take-off/",
        reminder_people.take_off_address,
        name="webhook_take_off",
    ),
    path("due/steps/", reminder_steps.steps, name="reminder_steps"),
    path("due/steps/<str:kind>/", reminder_steps.kind, name="reminder_step"),
    path("due/calendars/", feeds.calendars, name="calendars"),
    path(
        "due/calendars/<number:calendar>/take-back/",
        feeds.take_back,
        name="calendar_back",
    ),
    path("due/<number:obligation>/", reminders.one, name="due_one"),
    path("due/<number:obligation>/end/", reminders.end, name="due_end"),
    path("due/<number:obligation>/reopen/", reminders.reopen, name="due_reopen"),
    path("due/<number:obligation>/put-off/", reminders.put_off, name="due_put_off"),
    path("calendar/<str:secret>/due.ics", feeds.feed, name="calendar_feed"),
    path("stop/<str:secret>/", feeds.stop, name="stop_reminders"),
]
