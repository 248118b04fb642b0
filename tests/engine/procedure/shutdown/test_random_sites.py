"""Whatever the site: no rule is broken but where the warnings say that nothing helps."""

from hypothesis import HealthCheck, given, settings, strategies as st

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.checker import check_procedure
from maintenance.engine.procedure.elements import COMPRESSOR
from maintenance.engine.procedure.shutdown.choices import ChangeOver, ShutdownChoices
from maintenance.engine.procedure.shutdown.compile import compile_shutdown
from maintenance.engine.procedure.shutdown.run_off import levels_after
from maintenance.engine.site import Site
from tests.engine.network.small_sites import compressor_of
from tests.engine.procedure.shutdown.random_sites import small_sites

CHANGE_OVERS = st.sampled_from(["controller", "next_first", "hand"])
modest = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)


def listed(site: Site, air: bool, how: ChangeOver):
    sheet = make_sheet(site, compressor_of(), passes=1) if air else None
    choices = ShutdownChoices(change_over=how)
    procedure = compile_shutdown(site, sheet=sheet, choices=choices)
    levels = levels_after(build_graph(site), procedure)
    return procedure, check_procedure(site, procedure, levels=levels)


@modest
@given(small_sites(), st.booleans(), CHANGE_OVERS)
def test_a_list_breaks_a_rule_only_at_its_end_and_says_so(site, air, how):
    procedure, checked = listed(site, air, how)
    last = len(procedure.steps)
    said = {(warning.code, warning.text) for warning in procedure.warnings}
    codes = {code for code, _ in said}
    for check in checked.broken:
        assert check.at_step == last, (check.rule.key, check.text)
        assert check.rule.key in ("I9", "I11"), (check.rule.key, check.text)
        if check.rule.key == "I11":
            # Nothing behind the valve can be opened, so that nothing can be watched.
            assert codes & {"cannot_prove", "source_not_parted"}, check.text
        elif "lies too high" not in check.text:
            assert ("left_full", check.text) in said
        else:
            # Only the waste of a stop-and-waste valve lets it out, and nobody sees it.
            assert codes & {"cannot_prove", "source_not_parted"}, check.text


@modest
@given(small_sites(), CHANGE_OVERS)
def test_air_is_off_and_the_hose_is_off_at_the_end(site, how):
    procedure, checked = listed(site, True, how)
    positions = checked.end.standing.positions
    assert positions[COMPRESSOR] == "off"
    assert positions["AIR"] != "hose_connected"
    blown = [step.row for step in procedure.steps if step.act == "blow"]
    assert len(set(blown)) == len(blown)


@modest
@given(small_sites(), st.booleans())
def test_another_use_keeps_its_water(site, air):
    procedure, checked = listed(site, air, "controller")
    piping = checked.end.standing.piping
    for user, cell in piping.users.items():
        if checked.start.standing.sources_at(cell):
            assert checked.end.standing.sources_at(cell), user
            assert any(user in each.why for each in procedure.stays_open), user


@modest
@given(small_sites(), st.booleans())
def test_every_source_is_held_off_the_irrigation(site, air):
    procedure, checked = listed(site, air, "controller")
    if any(each.code == "source_not_parted" for each in procedure.warnings):
        return
    standing = checked.end.standing
    for opening in standing.piping.openings:
        if opening.kind in ("head", "checked_head", "blowout_port", "quick_coupler"):
            assert not standing.sources_at(opening.cell), opening.point
