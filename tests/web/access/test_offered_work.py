"""What a page offers to be asked for is what its reader may ask for."""

import pytest

from maintenance.models import Job
from tests.web.access.world import World, signed_in

ROLES = {
    "owner": True,
    "office": True,
    "technician": False,
    "reader": False,
}


@pytest.mark.parametrize(("role", "offered"), ROLES.items())
def test_only_who_may_ask_for_all_outlooks_is_led_there(
    world: World, role: str, offered: bool
) -> None:
    Job.objects.all().delete()
    client = signed_in(role)
    body = client.get("/freeze/").content.decode()
    assert "One alone: on its page." in body
    assert ('<a href="/jobs/">ask for it</a>' in body) == offered
    assert (client.post("/jobs/outlooks/").status_code == 302) == offered
