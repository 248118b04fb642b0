"""Two thousand damaged site files: read whole, or refused with paths."""

import json
import random
from collections import Counter
from pathlib import Path

import pytest

from maintenance.engine.site.faults import Fault, Faults
from maintenance.exchange.site_file import read_site, write_site
from tests.exchange.mutations import MUTATORS, places, spoil_text, text_of
from tests.exchange.rich_site import rich_record

EXAMPLES = Path(__file__).parents[2] / "fixtures" / "examples"
EACH = 500
KINDS = (*MUTATORS, spoil_text)


def _record(name: str) -> dict[str, object]:
    if name == "rich":
        return rich_record()
    found: dict[str, object] = json.loads((EXAMPLES / name).read_text("utf-8"))
    return found


def _faults(text: str | bytes) -> tuple[Fault, ...]:
    """Read a file: no faults where it is read; anything else than faults is raised."""
    try:
        site = read_site(text)
    except Faults as error:
        return error.faults or (Fault("", ""),)
    assert write_site(read_site(write_site(site))) == write_site(site)
    return ()


def _outcome(text: str | bytes) -> tuple[str, ...]:
    faults = _faults(text)
    assert all(fault.path and fault.text for fault in faults)
    assert all(len(str(fault)) < 2000 for fault in faults)
    assert all(str(fault).isprintable() for fault in faults)
    return tuple(fault.path for fault in faults)


@pytest.mark.parametrize(
    ("name", "count"),
    [("site-a.json", EACH), ("example-lateral.json", EACH), ("rich", 2 * EACH)],
)
def test_damaged_file_is_read_or_refused_with_paths(name: str, count: int) -> None:
    refused: Counter[str] = Counter()
    tried: Counter[str] = Counter()
    assert _outcome(json.dumps(_record(name))) == ()
    for seed in range(count):
        dice = random.Random(f"{name} {seed}")  # noqa: S311
        record = _record(name)
        kind = KINDS[seed % len(KINDS)]
        tried[kind.__name__] += 1
        if kind is spoil_text:
            text: str | bytes = spoil_text(json.dumps(record, indent=1), dice)
        else:
            for _ in range(dice.choice([1, 1, 2, 5])):
                mutate = dice.choice(MUTATORS) if _ else kind
                mutate(record, dice.choice(places(record)), dice)  # type: ignore[operator]
            text = json.dumps(record)
        refused[kind.__name__] += bool(_outcome(text))
    assert sum(tried.values()) == count
    share = {kind: refused[kind] / number for kind, number in tried.items()}
    assert sum(refused.values()) > 0.7 * count, share
    # Hardly any damage is always harmful: what does no harm must be read.
    assert sum(refused.values()) < 0.99 * count, share
    assert min(share.values()) > 0.4, share


@pytest.mark.parametrize("seed", range(60))
def test_a_number_that_is_none_is_refused_where_it_stands(seed: int) -> None:
    dice = random.Random(seed)  # noqa: S311
    record = rich_record()
    way = dice.choice(places(record))
    holder: object = record
    for key in way[:-1]:
        holder = holder[key]  # type: ignore[index]
    holder[way[-1]] = float("nan")  # type: ignore[index]
    assert any(path.startswith(text_of(way)) for path in _outcome(json.dumps(record)))
