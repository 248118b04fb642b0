"""Rules by place with their sources; own ones added, superseded, side by side."""

import pytest
from django.test import Client

from maintenance.documents.rule_words import limits_words, rule_words, when_words
from maintenance.engine.backflow.due.table import find_rule, in_force, shipped_rules
from maintenance.models import OwnRule
from tests.web.assembly_pages import body_of, send
from tests.web.conftest import text_of

RULE = {
    "name": "Quillbend yearly",
    "new_place": "Quillbend (town)",
    "duty": "test",
    "trigger": "anniversary",
    "period": "12 months",
    "report_failed": "24 hours",
    "source": "by-law 12",
    "checked": "2026-11-20",
    "mark": "read",
}


def test_every_shipped_rule_stands_with_source_day_and_mark(office: Client) -> None:
    text = text_of(office.get("/backflow/rules/"))
    for rule in in_force(shipped_rules()):
        assert rule.place_name in text, rule.ref
        assert " ".join(rule.source.split()) in text, rule.ref
    assert "from memory, not confirmed" in text
    assert "from a secondary source" in text


@pytest.mark.parametrize(
    ("rule_id", "words"),
    [
        ("washington-yearly", "test every year"),
        ("moab-installed", "test after it was put in, within 10 business days"),
        ("bel-aire-even-years", "test in even-numbered years"),
        ("massachusetts-town-half-years", "test by 30 Jun and 31 Dec"),
        ("ankeny-idle", "test before use after more than 3 months without use"),
        ("north-riverside-reinstalled", "test before it is put back into service"),
        ("calgary-turned-on", "test when it is turned on for the season"),
        ("minnesota-overhaul", "overhaul every 5 years"),
        ("washington-avb-repaired", "inspection after a repair"),
    ],
)
def test_a_rule_is_named_by_what_it_asks(rule_id: str, words: str) -> None:
    rule = find_rule(shipped_rules(), rule_id)
    assert rule_words(rule) == f"{rule.place_name}: {words}"


def test_every_shipped_rule_has_words() -> None:
    for rule in shipped_rules():
        assert len(when_words(rule)) > 5, rule.ref
        assert "None" not in rule_words(rule) + limits_words(rule.limits), rule.ref


def test_a_rule_of_a_place_of_ones_own_is_added(office: Client) -> None:
    answer = send(office, "/backflow/rules/new/", **RULE)
    assert answer["Location"] == "/backflow/rules/own-quillbend-yearly/1/"
    text = text_of(office.get(answer["Location"]))
    assert "Quillbend (town): test every year" in text
    assert "report a failure within 24 hours" in text
    assert "Quillbend (town)" in text_of(office.get("/backflow/rules/"))


def test_a_shipped_rule_is_superseded_and_both_stand_side_by_side(
    office: Client,
) -> None:
    address = "/backflow/rules/washington-yearly/1/"
    body = body_of(office.get(f"{address}supersede/"))
    assert 'value="12 months"' in body
    assert 'name="checked" value=""' in body
    told = {k: v for k, v in RULE.items() if k not in ("name", "new_place")}
    answer = send(
        office,
        f"{address}supersede/",
        **told | {"place": "washington", "period": "6 months"},
    )
    assert answer["Location"] == "/backflow/rules/own-washington-yearly/1/"
    text = text_of(office.get(address))
    assert "This version was superseded by own-washington-yearly/1" in text
    assert "When (differs) every year every 6 months" in text
    assert "Supersede it" not in text
    again = office.post(f"{address}supersede/", told | {"place": "washington"})
    assert again.status_code == 422
    assert "superseded by own-washington-yearly/1 already" in text_of(again)
    assert OwnRule.objects.count() == 1
    assert "Superseded or ended" in text_of(office.get("/backflow/rules/"))


def test_a_rule_is_ended(office: Client) -> None:
    address = "/backflow/rules/washington-yearly/1/supersede/"
    told = {k: v for k, v in RULE.items() if k not in ("name", "new_place")}
    send(office, address, **told | {"place": "washington", "ended": "on"})
    text = text_of(office.get("/backflow/rules/own-washington-yearly/1/"))
    assert "It counts no more." in text


@pytest.mark.parametrize(
    ("told", "at", "said"),
    [
        ({"name": ""}, "name", "what the rule is called"),
        ({"period": "often"}, "period", "no period"),
        ({"period": ""}, "period", "needs a period"),
        ({"source": ""}, "source", "is empty"),
        ({"checked": ""}, "checked", "is empty"),
        ({"checked": "soon"}, "checked", "Write a day"),
        ({"new_place": ""}, "place", "Choose the place"),
        ({"place": "washington"}, "new_place", "not both"),
        ({"new_place": "***"}, "new_place", "letters or digits"),
        ({"report_failed": "quickly"}, "report_failed", "no deadline"),
        ({"size_up_to_m": "big"}, "size_up_to_m", "no nominal size"),
        ({"kinds": ["XX"]}, "kinds", "XX"),
    ],
)
def test_what_cannot_be_read_is_refused_at_its_question(
    office: Client, told: dict[str, object], at: str, said: str
) -> None:
    answer = office.post("/backflow/rules/new/", {**RULE, **told})
    assert answer.status_code == 422
    body = body_of(answer)
    assert f'href="#id_{at}"' in body
    assert said in text_of(answer)
    assert not OwnRule.objects.exists()


def test_a_rule_that_is_not_there_is_not_found(office: Client) -> None:
    assert office.get("/backflow/rules/nowhere/1/").status_code == 404
    assert office.get("/backflow/rules/washington-yearly/9/").status_code == 404
