"""What each route needs: one line for each, by its name in the address table.

First what looking needs (GET, HEAD), then what a POST needs; None where a
route has no such method. Other methods no route has. A route without a line is refused
to everyone, and a test names it.
"""

from collections.abc import Mapping
from typing import Final, Literal

from maintenance.services.people.roles import Permission

ANYONE: Final = "anyone"
"""Signed in or not: the ways in, and what tells nothing of any account."""
SIGNED_IN: Final = "signed in"
"""Whoever is signed in, in any account or none: their own affairs."""

Need = Permission | Literal["anyone", "signed in"] | None
_Table = Mapping[str, tuple[Need, Need]]

OF_A_SITE: Final[_Table] = {
    "site": ("see", None),
    "history": ("see", None),
    "site_file": ("see", None),
    "season_years": ("see", None),
    "season_list": ("record", None),
    "season_whole": ("see", None),
    "season_print": ("see", None),
    "season_print_foot": ("see", None),
    "season_water": ("see", None),
    "blowout": ("plan", None),
    "zone_help": ("plan", None),
    "water_left": ("plan", None),
    "site_weather": ("plan", None),
    "freeze_outlook": ("plan", None),
    "freeze_refresh": (None, "record"),
    "attach_station": (None, "edit"),
    "station_file": (None, "edit"),
    "site_offset": (None, "edit"),
    "site_terms": (None, "edit"),
    "forecast_file": (None, "record"),
    "observe_night": (None, "record"),
    "season_who": (None, "record"),
    "season_notes": (None, "record"),
    "season_zones": (None, "record"),
    "season_zone": (None, "record"),
    "season_tick": (None, "record"),
    "season_skip": (None, "record"),
    "season_undo": (None, "record"),
    "season_move": (None, "record"),
    "season_add": ("record", "record"),
    "season_close": ("record", "record"),
    "season_start": ("arrange", "arrange"),
    "season_rebuild": ("arrange", "arrange"),
    "season_paper": ("arrange", "arrange"),
    "site_pipes": ("edit", "edit"),
    "site_compressor": ("edit", "edit"),
    "edit_place": ("edit", "edit"),
    "add_part": ("edit", "edit"),
    "edit_part": ("edit", "edit"),
    "retire_part": (None, "edit"),
    "lay_out": (None, "edit"),
    "undo": (None, "edit"),
    "retire_site": (None, "edit"),
    "restore_site": (None, "edit"),
    "site_assemblies": ("see", None),
    "assembly": ("see", None),
    "one_assembly": ("see", None),
    "if_removed": ("see", None),
    "assembly_facts": ("edit", "edit"),
    "assembly_event": ("record", "record"),
    "take_back_event": (None, "record"),
    "add_photo": ("record", "record"),
    "assembly_photo": ("see", None),
    "remove_photo": (None, "record"),
    "test_assembly": ("see", None),
    "test_site_reports": ("see", None),
    "test_begin": (None, "test"),
}

OF_THE_ACCOUNT: Final[_Table] = {
    "home": ("see", None),
    "season_office": ("plan", None),
    "compressors": ("plan", None),
    "compressor_file": ("plan", None),
    "worksheets": ("plan", None),
    "worksheet": ("plan", None),
    "freeze_office": ("plan", None),
    "stations": ("plan", None),
    "station": ("plan", "edit"),
    "weather_contact": (None, "edit"),
    "retire_station": (None, "edit"),
    "new_site": ("edit", "edit"),
    "import": ("edit", "edit"),
    "load_demo": (None, "edit"),
    "remove_demo": (None, "edit"),
    "new_compressor": ("edit", "edit"),
    "edit_compressor": ("edit", "edit"),
    "retire_compressor": (None, "edit"),
    "restore_compressor": (None, "edit"),
    "due_list": ("see", None),
    "due_csv": ("see", None),
    "assembly_register": ("see", None),
    "rules": ("see", None),
    "rule": ("see", None),
    "new_rule": ("edit", "edit"),
    "supersede_rule": ("edit", "edit"),
    "testers": ("plan", None),
    "new_tester": ("edit", "edit"),
    "edit_tester": ("edit", "edit"),
    "retire_tester": (None, "edit"),
    "gauges": ("plan", None),
    "new_gauge": ("edit", "edit"),
    "edit_gauge": ("edit", "edit"),
    "retire_gauge": (None, "edit"),
    "test_list": ("see", None),
    "test_export": ("see", None),
    "test_order": ("edit", "edit"),
    "test_draft": ("test", "test"),
    "test_draft_report": ("test", None),
    "test_sign": (None, "test"),
    "test_drop": (None, "test"),
    "test_take_up": (None, "test"),
    "test_record": ("see", None),
    "test_report": ("see", None),
    "test_pdf": ("see", None),
    "test_tag": ("see", None),
    "test_retest": (None, "test"),
    "test_correct": (None, "test"),
    "test_filed": (None, "test"),
    "test_filed_undo": (None, "test"),
}

PEOPLE: Final[_Table] = {
    "people": ("people", None),
    "change_account": (None, "people"),
    "invite": ("people", "people"),
    "withdraw_invitation": (None, "people"),
    "member": ("people", "people"),
    "remove_member": (None, "people"),
    "erase_member": ("people", "people"),
    "export_account": (None, "people"),
    "you": (SIGNED_IN, None),
    "choose_account": (None, SIGNED_IN),
    "invitation": (ANYONE, ANYONE),
}

SIGNING_IN: Final[_Table] = {
    "account_login": (ANYONE, ANYONE),
    "account_signup": (ANYONE, ANYONE),
    "account_logout": (ANYONE, ANYONE),
    "account_inactive": (ANYONE, None),
    "account_reset_password": (ANYONE, ANYONE),
    "account_reset_password_done": (ANYONE, None),
    "account_reset_password_from_key": (ANYONE, ANYONE),
    "account_reset_password_from_key_done": (ANYONE, None),
    "account_email_verification_sent": (ANYONE, None),
    "account_confirm_email": (ANYONE, ANYONE),
    "account_confirm_login_code": (ANYONE, ANYONE),
    "mfa_authenticate": (ANYONE, ANYONE),
    "mfa_login_webauthn": (ANYONE, ANYONE),
    "account_reauthenticate": (SIGNED_IN, SIGNED_IN),
    "account_email": (SIGNED_IN, SIGNED_IN),
    "account_change_password": (SIGNED_IN, SIGNED_IN),
    "account_set_password": (SIGNED_IN, SIGNED_IN),
    "mfa_index": (SIGNED_IN, None),
    "mfa_reauthenticate": (SIGNED_IN, SIGNED_IN),
    "mfa_reauthenticate_webauthn": (SIGNED_IN, SIGNED_IN),
    "mfa_activate_totp": (SIGNED_IN, SIGNED_IN),
    "mfa_deactivate_totp": (SIGNED_IN, SIGNED_IN),
    "mfa_generate_recovery_codes": (SIGNED_IN, SIGNED_IN),
    "mfa_view_recovery_codes": (SIGNED_IN, None),
    "mfa_download_recovery_codes": (SIGNED_IN, None),
    "mfa_list_webauthn": (SIGNED_IN, None),
    "mfa_add_webauthn": (SIGNED_IN, SIGNED_IN),
    "mfa_edit_webauthn": (SIGNED_IN, SIGNED_IN),
    "mfa_remove_webauthn": (SIGNED_IN, SIGNED_IN),
}

# The two that tell nothing of anyone: a choice of units, and how pages look.
OPEN: Final[_Table] = {"units": (None, ANYONE), "look": (ANYONE, None)}

ONLY_WITH_ACCOUNTS: Final[_Table] = {**PEOPLE, **SIGNING_IN}
ROUTES: Final[_Table] = {**OF_A_SITE, **OF_THE_ACCOUNT, **OPEN, **ONLY_WITH_ACCOUNTS}
