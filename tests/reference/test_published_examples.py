"""Every published example and check value holds within its tolerance."""

from dataclasses import replace

import pytest

from maintenance.engine.worksheets.examples import published_examples, recompute
from maintenance.engine.worksheets.registry import WORKSHEETS

pytestmark = pytest.mark.reference

EXAMPLES = published_examples()


@pytest.mark.parametrize(
    "example", EXAMPLES, ids=[f"{n}-{e.subject}" for n, e in enumerate(EXAMPLES)]
)
def test_the_engine_gives_the_published_value(example):
    comparison = recompute(example)
    assert comparison.holds, (
        f"{example.source}: {example.expected}, here {comparison.text}"
    )


@pytest.mark.parametrize(
    "example", EXAMPLES, ids=[f"{n}-{e.subject}" for n, e in enumerate(EXAMPLES)]
)
def test_a_value_off_by_a_fifth_or_another_word_would_be_noticed(example):
    number, _, unit = example.expected.partition(" ")
    other = (
        f"not {example.expected}"
        if example.is_words
        else f"{float(number) * 1.2} {unit}".strip()
    )
    assert not recompute(replace(example, expected=other)).holds


def test_every_worksheet_has_an_example():
    assert {e.subject for e in EXAMPLES if not e.is_function} == set(WORKSHEETS)


def test_every_example_names_its_source_and_mark():
    assert len(EXAMPLES) > 90
    assert all(len(example.source) > 8 for example in EXAMPLES)
    assert {example.mark for example in EXAMPLES} == {
        "published",
        "computed",
        "from memory",
    }
