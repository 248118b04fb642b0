"""The tables of reminders know the same words as the rules."""

from typing import get_args

from maintenance.engine.reminding.attempts import State
from maintenance.engine.reminding.kinds import KINDS
from maintenance.engine.reminding.plan import Channel
from maintenance.models.reminders import CHANNELS, MESSAGE_STATES, OBLIGATIONS
from maintenance.web.reminder_pages import STATES


def test_the_kinds_the_channels_and_the_states_are_the_same():
    assert tuple(KINDS) == OBLIGATIONS
    assert get_args(Channel) == CHANNELS
    assert set(get_args(State)) < set(MESSAGE_STATES) == set(STATES)
