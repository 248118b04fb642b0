"""Small lists that are being carried out, for the tests of their rules."""

from datetime import UTC, datetime, timedelta

from hypothesis import strategies as st

from maintenance.engine.procedure.progress import ListedStep
from maintenance.engine.procedure.step import Change, Step

MORNING = datetime(2026, 10, 14, 8, 0, tzinfo=UTC)
KEYS = "abcdefgh"


def step(key, position="closed", **fields):
    """Return a step that brings the part of the same name to a position."""
    usual = {
        "act": "close",
        "on": key.upper(),
        "to": position,
        "text": f"Bring {key} to {position}.",
        "changes": (Change(key.upper(), position),),
    }
    return Step(key=key, **(usual | fields))


def listed(*entries):
    """Return a list: each entry a step, or a step with its outcome and more."""
    rows = []
    for row, entry in enumerate(entries, start=1):
        each, *rest = entry if isinstance(entry, tuple) else (entry,)
        outcome = rest[0] if rest else None
        more = rest[1] if len(rest) > 1 else {}
        rows.append(ListedStep(row=row, step=each, outcome=outcome, **more))
    return tuple(rows)


def numbered(rows):
    """Return a list as it would be kept: what was new has a row now."""
    highest = max((each.row or 0 for each in rows), default=0)
    kept = []
    for each in rows:
        highest += each.row is None
        row = highest if each.row is None else each.row
        kept.append(
            ListedStep(
                row=row,
                step=each.step,
                outcome=each.outcome,
                when=each.when,
                own=each.own,
                placed=each.placed,
                gone=each.gone,
            )
        )
    return tuple(kept)


STEPS = st.builds(
    lambda key, position, words, blown: step(
        key, position, text=words, act="blow" if blown else "close"
    ),
    st.sampled_from(KEYS),
    st.sampled_from(["open", "half_open", "closed"]),
    st.sampled_from(["Turn it.", "Turn it by hand."]),
    st.booleans(),
)
COMPILED = st.lists(STEPS, max_size=8, unique_by=lambda each: each.key).map(tuple)


@st.composite
def open_lists(draw):
    """Return a list as people leave it: in part done, added to, moved about."""
    rows = []
    for row, each in enumerate(draw(COMPILED), start=1):
        outcome = draw(st.sampled_from([None, "done", "done", "skipped"]))
        when = MORNING + timedelta(minutes=draw(st.integers(0, 60)))
        placed = draw(st.booleans()) and draw(st.booleans())
        rows.append(
            ListedStep(
                row=row,
                step=each,
                outcome=outcome,
                when=when if outcome else None,
                placed=placed,
            )
        )
    for number in range(draw(st.integers(0, 2))):
        own = ListedStep(row=90 + number, step=step(f"own:{number}"), own=True)
        rows.insert(draw(st.integers(0, len(rows))), own)
    return tuple(rows)
