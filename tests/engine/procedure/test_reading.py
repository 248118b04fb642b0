"""A reading keeps its words, and gives a number only where it is one."""

import pytest

from maintenance.engine.procedure.reading import KINDS, Reading, read_reading


@pytest.mark.parametrize(
    ("text", "value", "kind"),
    [
        # 1 psi = 6894.757293168 Pa; 1 US gallon = 231 in3 (NIST SP 811, appendix B)
        ("48 psi", 48 * 6894.757293168, "pressure"),
        (" 12 gal ", 12 * 231 * 0.0254**3, "volume"),
        ("2.5 gpm", 2.5 * 231 * 0.0254**3 / 60, "flow"),
        ("10 min", 600.0, "time"),
        ("41 degF", 278.15, "temperature"),
        ("6 in", 0.1524, "length"),
        ("-3 kPa", -3000.0, "pressure"),
    ],
)
def test_a_quantity_has_its_value_in_si(text, value, kind):
    found = read_reading(text)
    assert found.value == pytest.approx(value, rel=1e-9)
    assert (found.text, found.kind) == (text.strip(), kind)
    assert found.kind in KINDS


@pytest.mark.parametrize(
    "text",
    ["48", "", "no water seen", "nan psi", "14.7 psi abs", "7 furlongs", "1e999 s"],
)
def test_what_is_no_quantity_keeps_its_words_and_has_no_value(text):
    assert read_reading(text) == Reading(text)
