"""What a page costs beside the sign-in, which is the same for all pages."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.web.access.world import signed_in

FORM = "/import/"
"""A page that has nothing to ask for but who looks at it."""


@pytest.mark.parametrize(("address", "most"), [("/visits/", 5), ("/due/", 7)])
def test_a_list_asks_no_more_where_people_sign_in(world, address, most):
    client = signed_in("owner")
    counts = {}
    for page in (FORM, address):
        assert client.get(page).status_code == 200
        with CaptureQueriesContext(connection) as seen:
            assert client.get(page).status_code == 200
        counts[page] = [query["sql"][:120] for query in seen]
    assert len(counts[address]) - len(counts[FORM]) <= most, counts
    assert len(counts[FORM]) <= 5, counts[FORM]
