"""Larkmoor's spring list and frost cards as a person reads them, held to kept files.

Renew them, and read what changed, with
``.venv/bin/python manage.py procedure fixtures/demo/larkmoor.json --startup
> fixtures/golden/larkmoor-startup.txt`` and ``.venv/bin/python manage.py procedure
fixtures/demo/larkmoor.json --frost-night > fixtures/golden/larkmoor-frost-night.txt``
"""

import difflib
from io import StringIO

import pytest
from django.core.management import call_command

from tests.fixtures.demo import DEMO, LARKMOOR

GOLDEN = DEMO.parent / "golden"


def text_of(mode: str) -> str:
    out = StringIO()
    call_command("procedure", str(LARKMOOR), f"--{mode}", stdout=out, stderr=StringIO())
    return out.getvalue()


@pytest.mark.parametrize("mode", ["startup", "frost-night"])
def test_larkmoors_lists_read_as_they_were_read_through(mode):
    kept = (GOLDEN / f"larkmoor-{mode}.txt").read_text("utf-8")
    changed = difflib.unified_diff(
        kept.splitlines(), text_of(mode).splitlines(), "kept", "now", lineterm="", n=0
    )
    assert list(changed) == [], "renew it with the command at the head of this test"


def test_the_frost_card_comes_with_the_card_for_the_morning_after():
    text = text_of("frost-night")
    assert text.index("Card for a frost night") < text.index(
        "Card for the morning after"
    )
    assert text.count("no step breaks one") == 2


def test_no_exposed_part_is_named_where_water_is_left_after_the_card():
    text = text_of("frost-night")
    left = text[text.index("Where water is left") : text.index("Checked against 12")]
    assert "above ground" not in left


@pytest.mark.parametrize("mode", ["startup", "frost-night"])
def test_no_list_calls_a_system_or_a_person_safe_or_proved(mode):
    steps = text_of(mode).partition("Checked against 12 rules\n")[0]
    words = set(steps.lower().replace(".", " ").replace(",", " ").split())
    assert not {"safe", "proved", "dry", "compliant", "certified"} & words
