"""`backtest_freeze`: its tables, its draw, and what it says while one waits."""

import json
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

CHAMPION = str(
    Path(__file__).resolve().parents[2] / "fixtures" / "climate" / "champion.csv"
)


def run(*arguments: str) -> tuple[str, str]:
    out, err = StringIO(), StringIO()
    call_command("backtest_freeze", CHAMPION, *arguments, stdout=out, stderr=err)
    return out.getvalue(), err.getvalue()


class Watched(StringIO):
    """A stream that says that somebody looks at it."""

    def isatty(self) -> bool:
        return True


def test_the_tables_say_how_often_each_rule_failed_and_what_it_cost():
    text, _ = run("--repeats", "5")
    lines = [line.split() for line in text.splitlines()]
    assert ["10", "%", "13.5", "%", "12.2"] in lines
    assert ["10", "%", "8.1", "%", "15.5"] in lines
    assert "crew 2 days after the call, 5 drawn forecasts a season" in text
    assert "a real forecast is worse in valleys" in text


def test_the_object_holds_every_trial_and_a_seed_gives_the_same_draw():
    texts = [run("--json", "--repeats", "5", "--seed", seed)[0] for seed in "778"]
    assert texts[0] == texts[1] != texts[2]
    told = json.loads(texts[0], parse_constant=pytest.fail)
    assert told["format"] == "freeze_backtest/1"
    assert told["seasons"]["fall"] == list(range(1982, 2019))
    assert [row["at"] for row in told["last_chance"]] == [
        0.02, 0.05, 0.1, 0.2, 0.3, 0.5,
    ]  # fmt: skip
    assert {row["seasons"] for row in told["last_chance"]} == {37 * 5}
    assert {row["seasons"] for row in told["fixed_fall"]} == {37}


def test_the_bar_is_drawn_on_its_line_where_somebody_looks_and_else_only_its_end():
    assert run("--repeats", "1")[1].splitlines() == [f"[{'#' * 30}] season 37 of 37"]
    err = Watched()
    call_command(
        "backtest_freeze", CHAMPION, "--repeats", "1", stdout=StringIO(), stderr=err
    )
    drawn = err.getvalue().split("\r")
    assert len(drawn) == 38
    assert "season 1 of 37" in drawn[1]
    assert err.getvalue().count("\n") == 1


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("--crew", "9"), "write 0 to 6"),
        (("--repeats", "0"), "write 1 to 10,000"),
        (("--seed", "-1"), "write 0 or more"),
        (("--threshold", "28 psi"), "is not a temperature"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(arguments, sentence):
    with pytest.raises(CommandError, match=sentence) as refusal:
        run(*arguments)
    assert "\n" not in str(refusal.value)
