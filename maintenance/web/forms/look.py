"""A small form for the page that shows every element."""

from maintenance.web.forms.answers import AnswerForm, ask, choose


class LookForm(AnswerForm):
    """One question of each sort."""

    groups = (("Questions", ("name", "length", "head")),)

    name = ask("Name", "Any name that you will know again.", short=False)
    length = ask(
        "Length",
        'Such as "120 ft" or "36 m".',
        find_out=("Pace it: a long step is about 3 ft, or 0.9 m.",),
    )
    head = choose("Kind of heads", (("spray", "spray"), ("rotor", "rotor")))
