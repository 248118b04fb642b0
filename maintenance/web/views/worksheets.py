"""The worksheets: an index, and a page made from each declaration."""

from dataclasses import dataclass

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from maintenance.engine.errors import EngineError, InputError
from maintenance.engine.figure import Figure
from maintenance.engine.worksheets.declaration import Answer, Worksheet
from maintenance.engine.worksheets.examples import Example, published_examples
from maintenance.engine.worksheets.registry import WORKSHEETS
from maintenance.web.forms.worksheet import WorksheetForm
from maintenance.web.page import show_page


@dataclass(frozen=True, slots=True)
class Result:
    """One output as shown: a figure, or words."""

    label: str
    figure: Figure | None
    texts: tuple[str, ...]


@require_safe
def index(request: HttpRequest) -> HttpResponse:
    """List the worksheets."""
    return show_page(request, "worksheets.html", {"worksheets": WORKSHEETS.values()})


@require_safe
def worksheet(request: HttpRequest, name: str) -> HttpResponse:
    """Ask for the inputs; with any of them given, or all left empty, compute."""
    sheet = WORKSHEETS.get(name)
    if sheet is None:
        raise Http404(f'There is no worksheet "{name}".')
    asked = bool(request.GET)
    form = WorksheetForm(sheet, request.GET if asked else None)
    answer = _answer(sheet, form) if asked else None
    context = {
        "worksheet": sheet,
        "form": form,
        "fields": list(form),
        "suggestions": form.suggestions,
        "answer": answer,
        "results": _results(sheet, answer) if answer else (),
        "examples": _examples(name),
    }
    status = 422 if asked and answer is None else 200
    return show_page(request, "worksheet.html", context, status=status)


def _answer(sheet: Worksheet, form: WorksheetForm) -> Answer | None:
    if not form.is_valid():
        return None
    try:
        return sheet.answer(form.texts())
    except InputError as refusal:
        form.put_at_its_question(refusal)
    except EngineError as refusal:
        form.add_error(None, str(refusal))
    return None


def _results(sheet: Worksheet, answer: Answer) -> tuple[Result, ...]:
    found = []
    for output in sheet.outputs:
        value = answer.outputs[output.key]
        figure = answer.figures.get(output.key)
        if isinstance(value, bool):
            texts: tuple[str, ...] = ("yes" if value else "no",)
        elif isinstance(value, list):
            texts = tuple(value)
        else:
            texts = (str(value),) if isinstance(value, str) else ()
        found.append(Result(output.label, figure, texts))
    return tuple(found)


def _examples(name: str) -> tuple[Example, ...]:
    return tuple(each for each in published_examples() if each.subject == name)
