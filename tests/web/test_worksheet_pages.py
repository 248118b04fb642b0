"""Each worksheet has a page; what it answers is what the engine answers."""

import pytest
from django.test import Client

from maintenance.engine.worksheets.examples import published_examples
from maintenance.engine.worksheets.registry import WORKSHEETS
from tests.web.conftest import text_of


def test_the_index_lists_every_worksheet(office: Client):
    answer = office.get("/worksheets/")
    assert answer.status_code == 200
    text = text_of(answer)
    for sheet in WORKSHEETS.values():
        assert sheet.title in text
        assert sheet.purpose in text


@pytest.mark.parametrize("name", WORKSHEETS)
def test_a_worksheet_asks_for_its_inputs_and_names_its_method(office: Client, name):
    answer = office.get(f"/worksheets/{name}/")
    assert answer.status_code == 200
    text = text_of(answer)
    sheet = WORKSHEETS[name]
    assert "Answer" not in text
    for entry in sheet.inputs:
        assert f'name="{entry.name}"' in answer.content.decode()
    for source in sheet.sources:
        assert " ".join(source.split()) in text


@pytest.mark.parametrize("name", WORKSHEETS)
def test_a_published_example_gives_on_the_page_what_the_engine_answers(office, name):
    example = next((e for e in published_examples() if e.subject == name), None)
    if example is None:
        pytest.fail(f"{name} has no example to check it against")
    answer = office.get(f"/worksheets/{name}/", dict(example.inputs))
    assert answer.status_code == 200, text_of(answer)
    text = text_of(answer)
    assert "Answer" in text
    for figure in WORKSHEETS[name].answer(example.inputs).figures.values():
        assert " ".join(figure.text("us").split()) in text


@pytest.mark.parametrize("name", WORKSHEETS)
def test_a_refusal_stands_at_its_question_and_keeps_what_was_typed(office, name):
    entry = WORKSHEETS[name].inputs[0]
    answer = office.get(f"/worksheets/{name}/", {entry.name: "nan furlongs"})
    assert answer.status_code == 422
    assert "No answer yet" in text_of(answer)


def test_a_worksheet_that_is_not_there_is_not_found(office: Client):
    assert office.get("/worksheets/nothing/").status_code == 404
