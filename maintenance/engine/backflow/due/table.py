"""The rules that ship, as rows, and the choice among any rules.

A row is never changed once it has been used: a rule that turns out wrong or old gets a
new row with the next version, and ``superseded_by`` in the old one. What was answered
under the old one is answered again, the same, with `rules_cited`.
"""

from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from functools import cache
from importlib.resources import files

from maintenance.engine.backflow.due.rows import read_rules
from maintenance.engine.backflow.due.rule import Rule, RuleRef
from maintenance.engine.errors import InputError


@cache
def shipped_rules() -> tuple[Rule, ...]:
    """Read the rules that ship.

    Returns
    -------
    tuple of Rule
        All versions, in the order of ``rules.csv`` [rules].
    """
    text = files("maintenance.engine.backflow.due").joinpath("rules.csv")
    return read_rules(text.read_text("utf-8"))


def in_force(rules: Iterable[Rule]) -> tuple[Rule, ...]:
    """Return the rules that no other has taken the place of.

    Parameters
    ----------
    rules : iterable of Rule
        All versions [rules].

    Returns
    -------
    tuple of Rule
        In the order given [rules].
    """
    return tuple(rule for rule in rules if rule.superseded_by is None)


def rules_of_place(rules: Iterable[Rule], place: str) -> tuple[Rule, ...]:
    """Return the rules of a place that are in force.

    Parameters
    ----------
    rules : iterable of Rule
        All versions [rules].
    place : str
        Key of the place, such as ``washington`` [text].

    Returns
    -------
    tuple of Rule
        In the order given; none where the place is not known [rules].
    """
    return tuple(rule for rule in in_force(rules) if rule.place == place)


def rules_cited(rules: Iterable[Rule], refs: Iterable[RuleRef]) -> tuple[Rule, ...]:
    """Return the very versions that an earlier answer cited.

    Parameters
    ----------
    rules : iterable of Rule
        All versions [rules].
    refs : iterable of RuleRef
        What was cited [-].

    Returns
    -------
    tuple of Rule
        In the order of the table [rules].

    Raises
    ------
    InputError
        If one of them is not in the table.
    """
    wanted = set(refs)
    found = tuple(rule for rule in rules if rule.ref in wanted)
    missing = wanted - {rule.ref for rule in found}
    if missing:
        raise InputError(
            f'rule: "{min(missing)}" is not in this table of rules; add the version '
            "that was used then",
            input="rule",
        )
    return found


def find_rule(rules: Sequence[Rule], name: str) -> Rule:
    """Look a rule up.

    Parameters
    ----------
    rules : sequence of Rule
        All versions [rules].
    name : str
        An id, for the version in force, or ``id/version`` for that one [text].

    Returns
    -------
    Rule
        The rule [-].

    Raises
    ------
    InputError
        If there is none; names the nearest.

    Examples
    --------
    >>> find_rule(shipped_rules(), "bel-aire-even-years").trigger
    'even_years'
    """
    plain = name.strip().lower()
    among = rules if "/" in plain else in_force(rules)
    for rule in among:
        if plain in (rule.id, str(rule.ref)):
            return rule
    near = get_close_matches(plain, [rule.id for rule in in_force(rules)], n=3)
    mend = f"did you mean {' or '.join(near)}?" if near else "--list shows the ids"
    raise InputError(
        f'rule: there is no rule "{name.strip()[:60]}"; {mend}', input="rule"
    )
