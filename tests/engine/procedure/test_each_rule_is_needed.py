"""Each rule catches a list that nothing else catches, and passes one that is right."""

import pytest

from maintenance.engine.procedure.checker import check_procedure
from maintenance.engine.procedure.rules.registry import RULES
from tests.engine.procedure.gardens import place, procedure
from tests.engine.procedure.rule_cases import CASES

each_rule = pytest.mark.parametrize("case", CASES, ids=lambda case: case.rule)


def broken(case, steps, rules=RULES):
    checked = check_procedure(case.site, procedure(case.season, steps), rules=rules)
    return {c.rule.key: (c.at_step, c.text) for c in checked.checks if not c.holds}


def test_every_rule_has_a_case():
    assert [case.rule for case in CASES] == [rule.key for rule in RULES]


@each_rule
def test_a_right_list_breaks_no_rule(case):
    assert broken(case, case.keeps) == {}


@each_rule
def test_a_wrong_list_breaks_its_rule_at_its_step(case):
    found = broken(case, case.breaks)
    assert set(found) == {case.rule}
    assert found[case.rule][0] == place(case.breaks, case.at)


@each_rule
def test_without_the_rule_the_wrong_list_passes(case):
    rest = [rule for rule in RULES if rule.key != case.rule]
    assert broken(case, case.breaks, rest) == {}


@each_rule
def test_a_broken_rule_is_told_in_a_sentence_that_names_a_part(case):
    text = broken(case, case.breaks)[case.rule][1]
    ids = {part.id for part in (*case.site.points, *case.site.links)} | {"controller:K"}
    assert text.endswith(".")
    assert any(part in text for part in ids)
    assert not {"proved safe", "safe", "dry"} & set(text.lower().split())


def test_every_rule_says_its_name_its_severity_and_its_source():
    assert len({rule.name for rule in RULES}) == len(RULES)
    for rule in RULES:
        assert rule.text.endswith(".")
        assert rule.source
        assert rule.severity in ("danger", "damage", "order")
        assert rule.check or rule.at_end
