"""Every input of every worksheet refuses what it cannot use, by its own name."""

import math

import pytest

from maintenance.engine.dimensions import DIMENSIONS
from maintenance.engine.errors import InputError
from maintenance.engine.worksheets.examples import published_examples
from maintenance.engine.worksheets.inputs import read_inputs
from maintenance.engine.worksheets.registry import WORKSHEETS

NUMERIC = ("quantity", "pressure", "absolute", "number")

GOOD: dict[str, dict[str, str]] = {}
for example in published_examples():
    GOOD.setdefault(example.subject, dict(example.inputs))

ENTRIES = [(s, entry) for s in WORKSHEETS.values() for entry in s.inputs]
NUMBERS = [(s, e) for s, e in ENTRIES if e.kind in NUMERIC]
TEXTS = [(s, e) for s, e in ENTRIES if e.kind not in NUMERIC]


def names(pairs):
    return [f"{sheet.name}-{entry.name}" for sheet, entry in pairs]


def unit_of(entry):
    if entry.kind in ("pressure", "absolute"):
        return "Pa"
    return DIMENSIONS[entry.dimension].unit if entry.dimension else ""


def refusal(sheet, entry, text):
    with pytest.raises(InputError) as caught:
        sheet.answer(GOOD[sheet.name] | {entry.name: text})
    error = caught.value
    assert error.input == entry.name
    assert str(error).startswith(entry.name), str(error)
    assert "\n" not in str(error)
    return error


def test_the_good_inputs_are_good():
    for sheet in WORKSHEETS.values():
        assert sheet.answer(GOOD[sheet.name]).outputs


@pytest.mark.parametrize(("sheet", "entry"), NUMBERS, ids=names(NUMBERS))
@pytest.mark.parametrize("number", ["nan", "NaN", "inf", "-inf", "Infinity", "1e999"])
def test_what_is_not_finite_is_refused(sheet, entry, number):
    error = refusal(sheet, entry, f"{number} {unit_of(entry)}".strip())
    assert "finite" in str(error)


@pytest.mark.parametrize(("sheet", "entry"), NUMBERS, ids=names(NUMBERS))
def test_another_kind_of_unit_is_refused(sheet, entry):
    wrong = "3 kg" if entry.dimension != "mass" else "3 m"
    refusal(sheet, entry, wrong)


@pytest.mark.parametrize(("sheet", "entry"), NUMBERS, ids=names(NUMBERS))
@pytest.mark.parametrize("text", ["plenty", "3 furlongs per jiffy", "1/0 m", "--3"])
def test_what_is_no_number_with_a_unit_is_refused(sheet, entry, text):
    refusal(sheet, entry, text)


WITH_UNIT = [(s, e) for s, e in NUMBERS if unit_of(e)]


@pytest.mark.parametrize(("sheet", "entry"), WITH_UNIT, ids=names(WITH_UNIT))
def test_a_bare_number_is_refused_and_the_unit_suggested(sheet, entry):
    assert "write" in str(refusal(sheet, entry, "12"))


@pytest.mark.parametrize(("sheet", "entry"), NUMBERS, ids=names(NUMBERS))
def test_every_number_has_two_bounds_and_holds_them(sheet, entry):
    assert math.isfinite(entry.low)
    assert math.isfinite(entry.high)
    assert entry.low < entry.high
    for text in (entry.low - 1e-3 * (1 + abs(entry.low)), entry.high * 1.001 + 1e-3):
        if entry.dimension == "temperature" and text <= 0:
            continue
        error = refusal(sheet, entry, f"{text:.9f} {unit_of(entry)}".strip())
        assert error.low is not None
        assert error.high is not None
        assert "give a value from" in str(error)


@pytest.mark.parametrize(("sheet", "entry"), TEXTS, ids=names(TEXTS))
def test_a_text_that_means_nothing_is_refused(sheet, entry):
    with pytest.raises(InputError) as caught:
        sheet.answer(GOOD[sheet.name] | {entry.name: "nonsense"})
    assert caught.value.input == entry.name


NEEDED = [(s, e) for s, e in ENTRIES if e.default is None and not e.optional]


@pytest.mark.parametrize(("sheet", "entry"), NEEDED, ids=names(NEEDED))
@pytest.mark.parametrize("blank", [None, "", "   "])
def test_what_is_missing_is_named_with_an_example(sheet, entry, blank):
    given = dict(GOOD[sheet.name])
    given.pop(entry.name)
    if blank is not None:
        given[entry.name] = blank
    with pytest.raises(InputError, match=f"{entry.name} is missing") as caught:
        sheet.answer(given)
    assert caught.value.input == entry.name


@pytest.mark.parametrize("sheet", WORKSHEETS.values(), ids=WORKSHEETS)
def test_an_input_that_does_not_exist_is_refused(sheet):
    with pytest.raises(InputError, match="no input"):
        sheet.answer(GOOD[sheet.name] | {"presure": "3 psi"})


@pytest.mark.parametrize(
    ("name", "changed", "named"),
    [
        ("head_air", {"k": None}, "k"),
        ("head_air", {"flow": "2 gpm"}, "k"),
        ("head_air", {"k": None, "flow": "2 gpm"}, "at_pressure"),
        ("receiver", {"pressure_low": "120 psi"}, "pressure_high"),
        ("receiver", {"volume": None}, "volume"),
        ("receiver_blowdown", {"pressure_low": "120 psi"}, "pressure_high"),
        ("compression", {"pressure": "20 kPa abs"}, "pressure"),
        ("air_line", {"pressure_in": "0 Pa abs"}, "pressure_in"),
        ("air_line_drop", {"standard_flow": "2000 cfm"}, "standard_flow"),
        ("pipe_derating", {"temperature": "141 degF"}, "temperature"),
        ("head_flow", {"k": None}, "k"),
        ("head_flow", {"flow": "2 gpm", "at_pressure": "30 psi"}, "k"),
        ("head_flow", {"k": None, "flow": "2 gpm"}, "at_pressure"),
        ("surge", {"material": None}, "material"),
        ("surge", {"material": "copper"}, "material"),
        ("surge", {"modulus_ratio": "2"}, "modulus_ratio"),
        ("line_loss", {"outlets": "2.5"}, "outlets"),
        ("fill", {"velocity": "2.01 ft/s"}, "velocity"),
    ],
)
def test_inputs_that_do_not_belong_together_are_refused(name, changed, named):
    given = {k: v for k, v in (GOOD[name] | changed).items() if v is not None}
    with pytest.raises(InputError) as caught:
        WORKSHEETS[name].answer(given)
    assert caught.value.input == named


@pytest.mark.parametrize(("sheet", "entry"), NUMBERS, ids=names(NUMBERS))
def test_the_example_beside_a_question_would_itself_be_taken(sheet, entry):
    (given,) = read_inputs(sheet.name, (entry,), {entry.name: entry.example})
    assert given.text == entry.example
