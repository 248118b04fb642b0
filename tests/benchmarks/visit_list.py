"""A page of fifty among forty thousand visits, beside a page with nothing but a form."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.test import Client

from tests.benchmarks.clock import in_loops
from tests.benchmarks.measure import Measured

VISITS, FORM = "/visits/", "/import/"


@contextmanager
def kept_visits() -> Iterator[None]:
    """Make a database of tests' own and fill it, outside of any test."""
    import django  # noqa: PLC0415

    django.setup()
    from django.db import connection  # noqa: PLC0415  (needs the apps)
    from django.test.utils import (  # noqa: PLC0415
        setup_test_environment,
        teardown_test_environment,
    )

    from maintenance.services.accounts import local_account  # noqa: PLC0415
    from tests.services.visits.many_visits import make_many  # noqa: PLC0415

    setup_test_environment()
    name = connection.settings_dict["NAME"]
    connection.creation.create_test_db(verbosity=0)
    try:
        make_many(local_account())
        yield
    finally:
        connection.creation.destroy_test_db(name, verbosity=0)
        teardown_test_environment()


def visit_list_page(*, rounds: int = 5) -> Measured:
    """Measure both pages; the visits must be there already."""
    client = Client()
    visits = in_loops(lambda: got(client, VISITS), rounds=rounds)
    form = in_loops(lambda: got(client, FORM), rounds=rounds)
    return Measured(
        "A page of 50 among 40,000 visits, against a page with a form",
        visits / form,
        25.0,
        "times",
    )


def got(client: Client, address: str) -> str:
    """Get a page whole."""
    answer = client.get(address)
    assert answer.status_code == 200, address
    return answer.content.decode()
