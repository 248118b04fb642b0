"""A season as it may go: steps done, skipped, taken back, the list rebuilt; then spring."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import HealthCheck, settings, strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
)

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.procedure.checker import check_procedure
from maintenance.engine.procedure.progress import (
    ListedStep,
    Outcome,
    left_to_do,
    positions_reached,
    steps_to_check,
)
from maintenance.engine.procedure.rebuild import difference, rebuild
from maintenance.engine.procedure.shutdown.compile import compile_shutdown
from maintenance.engine.procedure.startup.autumn import AutumnRecord
from maintenance.engine.site import Site
from tests.engine.network.small_sites import compressor_of
from tests.engine.procedure.listed_steps import numbered
from tests.engine.procedure.shutdown.random_sites import small_sites
from tests.engine.procedure.test_startup_mirrors_autumn import checked, not_returned

MORNING = datetime(2026, 10, 14, 8, 0, tzinfo=UTC)
AT_THE_END = {"I9", "I11"}
LEFT_UNDONE = {"kept_out", "pump_leads_nowhere"}


class Season(RuleBasedStateMachine):
    """One list on one random site, carried out by chance."""

    listed: tuple[ListedStep, ...] = ()

    @initialize(site=small_sites(), air=st.booleans())
    def compile(self, site: Site, air: bool) -> None:
        sheet = make_sheet(site, compressor_of(), passes=1) if air else None
        self.site, self.minute = site, 0
        self.procedure = compile_shutdown(site, sheet=sheet)
        self.check = check_procedure(site, self.procedure)
        self.start = self.check.start.standing.positions
        self.listed = tuple(
            ListedStep(row=n, step=step, outcome=None)
            for n, step in enumerate(self.procedure.steps, start=1)
        )

    def tell(self, number: int, outcome: Outcome | None) -> None:
        self.minute += 1
        when = MORNING + timedelta(minutes=self.minute) if outcome else None
        rows = list(self.listed)
        rows[number] = replace(rows[number], outcome=outcome, when=when)
        self.listed = tuple(rows)

    def next_open(self) -> int:
        return next(n for n, each in enumerate(self.listed) if each.outcome is None)

    @precondition(lambda self: bool(left_to_do(self.listed)))
    @rule(steps=st.integers(1, 12))
    def go_on(self, steps: int) -> None:
        for _ in range(min(steps, len(left_to_do(self.listed)))):
            self.tell(self.next_open(), "done")

    @precondition(lambda self: bool(left_to_do(self.listed)))
    @rule()
    def skip(self) -> None:
        self.tell(self.next_open(), "skipped")

    @precondition(lambda self: any(each.outcome for each in self.listed))
    @rule()
    def take_the_last_back(self) -> None:
        self.tell(max(n for n, e in enumerate(self.listed) if e.outcome), None)

    @rule()
    def rebuild_from_the_same_site(self) -> None:
        found = difference(self.listed, self.procedure.steps)
        assert (found.added, found.gone, found.changed) == ((), (), ())
        before = [(e.step.key, e.outcome, e.when) for e in self.listed]
        self.listed = tuple(numbered(rebuild(self.listed, self.procedure.steps)))
        assert [(e.step.key, e.outcome, e.when) for e in self.listed] == before

    @invariant()
    def every_part_stands_in_a_position_that_it_has(self) -> None:
        if self.listed:
            reached = positions_reached(self.start, self.listed)
            elements = self.check.end.standing.piping.elements
            for key, position in reached.positions.items():
                assert position in elements[key].words
            assert reached.unsure == (), "done in the list's own order"

    def teardown(self) -> None:
        if not self.listed:
            return
        while left_to_do(self.listed):
            self.tell(self.next_open(), "done")
        reached = positions_reached(self.start, self.listed).positions
        if all(each.outcome == "done" for each in self.listed):
            assert steps_to_check(self.listed) == self.procedure.steps
            assert {c.rule.key for c in self.check.broken} <= AT_THE_END
            assert reached == self.check.end.standing.positions
        spring = checked(self.site, AutumnRecord(positions=reached))
        codes = {warning.code for warning in spring.procedure.warnings}
        if not codes & LEFT_UNDONE:
            assert not_returned(spring) == []


Season.TestCase.settings = settings(
    max_examples=25,
    stateful_step_count=12,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
TestASeasonByChance = Season.TestCase
