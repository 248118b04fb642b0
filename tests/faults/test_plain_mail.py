"""A plain mail server that loses replies: no letter is lost, doubles are told.

After reference note 8, section 5, F5: it can neither be told a key nor be asked, so
that a letter may come twice; each that did carries the mark that says so.
"""

import pytest

from tests.faults.killing import Plan, drain_under_kills
from tests.faults.mail_sink import mail_sink

SEED = 20270305
DROPPED = 0.02
SIZES = [
    pytest.param(400, 4, id="ci", marks=pytest.mark.slow),
    pytest.param(10_000, 50, id="soak", marks=pytest.mark.soak),
]


@pytest.mark.parametrize(("count", "kills"), SIZES)
def test_no_letter_is_lost_and_every_double_is_told(count, kills, sqlite_place):
    place = sqlite_place("mail")
    with mail_sink(seed=SEED, dropped=DROPPED) as sink:
        place.more = {
            "EMAIL_URL": f"smtp://127.0.0.1:{sink.port}",
            "IRRIGATION_MAIL_FROM": "office@example.org",
        }
        place.run("set_up", count, "ada@example.org")
        place.run("plan")
        plan = Plan(
            total=count,
            progress=lambda: sum(sink.taken.values()),
            kills=kills,
            seed=SEED,
        )
        done = drain_under_kills(place, plan, "outbox")
        found = place.run("report")
    twice = {key for key, times in sink.taken.items() if times > 1}
    doubted = len(found["doubted"])
    print(
        f"seed {SEED}: {count} letters, {done}, {sink.dropped} replies lost, "
        f"{len(twice)} twice, {doubted} marked as perhaps so"
    )
    assert done.kills == kills
    assert sink.dropped
    assert twice, "the faults did not bite"
    assert found["waiting"] == 0
    # What is not known to be sent is told as uncertain, and none is more than that.
    assert set(found["states"]) <= {"sent", "superseded", "uncertain"}
    assert len(sink.taken) == count, "lost"
    assert len(twice) <= doubted <= kills + 2 * sink.dropped
    assert max(sink.taken.values()) <= 2
    assert all(len(subjects) == 1 for subjects in sink.subjects.values())
