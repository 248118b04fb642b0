"""The questions about a compressor, and what its plate really means."""

from typing import Any

from maintenance.engine.site.typed_compressor import CLASSES
from maintenance.web.forms.answers import AnswerForm, ask, choose


class NewCompressorForm(AnswerForm):
    """A compressor from its plate, or from its class alone."""

    groups = (
        ("The machine", ("name", "class", "free_air", "plate_says", "label")),
        ("Receiver (tank)", ("receiver", "cut_in", "cut_out")),
        (
            "Regulator, gauge and relief valve",
            ("regulator", "gauge_at", "step", "relief_valve"),
        ),
        ("Hose and heat", ("hose_diameter", "hose_length", "discharge_temperature")),
    )

    name = ask(
        "What you call it", 'Such as "red wheelbarrow" or "towed 185".', short=False
    )
    free_air = ask(
        "Air on the plate",
        'Such as "8 cfm" or "230 L/min".',
        find_out=(
            (
                "The plate shows one or two numbers in cfm or litres per minute, often at a "
                "pressure. Take the one at the highest pressure."
            ),
            "Horse-power tells little; leave this empty and choose the class.",
            (
                "To measure it: note the receiver’s volume and both cut-out and cut-in "
                "pressures, empty it to the lower one, and time it back to the upper one "
                "with no air drawn."
            ),
        ),
    )
    plate_says = choose(
        "What that number is",
        (
            ("delivered", "air delivered (free air, FAD)"),
            ("displacement", "displacement (air that the pistons sweep)"),
        ),
        "If you don’t know, it is taken as displacement: the lower of the two.",
        find_out=(
            (
                "Displacement is not air delivered: a piston machine gives about 60 to 75 % "
                "of what it sweeps (common practice, no source). The tool takes 60 %."
            ),
            (
                "Words such as FAD, delivered, actual, or a number stated at a pressure mean "
                "air delivered."
            ),
        ),
    )
    label = ask("The plate, word for word", short=False)
    receiver = ask(
        "Volume of the receiver",
        'Such as "30 gal"; "0 gal" if it has none.',
        find_out=(
            (
                "It is stamped on the receiver’s own plate. Else measure: diameter squared "
                "times length times 0.785."
            ),
        ),
    )
    cut_in = ask("Pressure at which it starts", 'Such as "90 psi".')
    cut_out = ask("Pressure at which it stops", 'Such as "125 psi".')
    regulator = choose(
        "Pressure regulator",
        (("yes", "fitted and turns down"), ("no", "none")),
        "Without one no setting is given: pipes stand less than a receiver holds.",
        find_out=("A knob or T-handle between receiver and hose, with a gauge by it.",),
    )
    gauge_at = choose(
        "Where you can read the pressure while air flows",
        (
            ("connection", "at the port, where the hose joins the pipe"),
            ("compressor", "only at the compressor"),
            ("none", "nowhere"),
        ),
    )
    step = ask("Smallest step that you can set", 'Such as "5 psi".')
    relief_valve = ask("Relief valve opens at", 'Such as "60 psi".')
    hose_diameter = ask("Inside diameter of the hose", 'Such as "3/4 in".')
    hose_length = ask("Length of the hose", 'Such as "50 ft".')
    discharge_temperature = ask(
        "Temperature of the air that leaves it",
        'Such as "200 degF"; the maker’s sheet tells it. Empty: no heat clock.',
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = choose(
            "Its class",
            [
                (
                    key,
                    f"{each.name}: about {each.free_air}, {each.receiver} (no source)",
                )
                for key, each in CLASSES.items()
            ],
            "Fills in what you leave empty, marked as guessed.",
        )
        self.ask_too({"class": field})
