"""Installations to be thrown away; the long forms run by ``pytest -m soak`` alone."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.conftest import IN_CI
from tests.faults.installation import Installation, sqlite_installation
from tests.faults.postgres_cluster import Cluster, cluster, lack_of_cluster


@pytest.fixture(scope="session")
def with_tables(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder whose database has its tables and nothing in them."""
    folder = tmp_path_factory.mktemp("tables")
    Installation(folder).migrate()
    return folder


@pytest.fixture
def sqlite_place(with_tables: Path, tmp_path: Path) -> Callable[[str], Installation]:
    return lambda name: sqlite_installation(with_tables, tmp_path / name)


@pytest.fixture(scope="session")
def own_cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Cluster]:
    """Start a PostgreSQL of our own, which may be crashed."""
    if reason := lack_of_cluster():
        if IN_CI:
            pytest.fail(reason)
        pytest.skip(reason)
    with cluster() as running:
        yield running


def pytest_collection_modifyitems(
    config: pytest.Config, items: list[pytest.Item]
) -> None:
    """Leave the long forms out unless they are asked for by name."""
    if "soak" in str(config.getoption("markexpr")):
        return
    long = [item for item in items if item.get_closest_marker("soak")]
    if long:
        config.hook.pytest_deselected(items=long)
        items[:] = [item for item in items if item not in long]
