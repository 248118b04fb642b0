"""What a start-up begins with: questions left from autumn, and a look round."""

from typing import Final

from maintenance.engine.procedure.shutdown.names import zone_words
from maintenance.engine.procedure.startup import minutes
from maintenance.engine.procedure.startup.autumn import MIRRORED, AutumnRecord
from maintenance.engine.procedure.startup.choices import StartupChoices
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.wording import both, sentence

_QUESTIONS: Final = {
    "not_found": (
        "{name} was not found in autumn: where is its valve?",
        (
            "Nobody emptied it, so frost may have split it. Find it before water comes "
            "near; if you cannot, leave this question open."
        ),
    ),
    "partly": (
        "{name} was emptied only in part in autumn: what was left?",
        "Water that stayed may have split a pipe or a head.",
    ),
    "skipped": (
        "{name} was left out in autumn: was it emptied at all?",
        "Water that stayed may have split a pipe or a head.",
    ),
}
_NO_PROMISE = (
    "The mean date of the last frost promises nothing: know how to drain the assembly "
    "for one night."
)
_DIG = (
    "Have lines marked before you dig (811, or the local service), and dig by hand: "
    "private wires and pipes are not marked."
)
_THAW = "Landscape Management, spring start-up checklist, 16 March 2016"


def ask_about_autumn(draft: Draft, autumn: AutumnRecord | None) -> None:
    """Write the questions that autumn left, zones that were not found first.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    autumn : AutumnRecord or None
        The autumn record. [-]
    """
    draft.block = "Questions left from autumn"
    if autumn is None:
        draft.add(
            "check",
            "record",
            MIRRORED,
            why="What autumn really left open is known only to whoever did it.",
            minutes=minutes.LOOK,
        )
        return
    zones = {zone.id: zone for zone in draft.piping.graph.site.zones}
    for end, (question, why) in _QUESTIONS.items():
        for key, said in autumn.zones.items():
            if said != end or key not in zones:
                continue
            draft.add(
                "check",
                key,
                sentence(question.format(name=zone_words(zones[key]))),
                to=end,
                why=why,
                minutes=minutes.LOOK,
            )
    for number, note in enumerate(autumn.notes, start=1):
        draft.add(
            "check",
            f"note {number}",
            f"Noted in autumn: {sentence(note)}",
            why="It was written down for today.",
            minutes=minutes.TURN,
        )


def look_round(
    draft: Draft, autumn: AutumnRecord | None, choices: StartupChoices
) -> None:
    """Write what is looked at before anything is turned.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    autumn : AutumnRecord or None
        The autumn record, for its meter reading. [-]
    choices : StartupChoices
        The meter reading now. [m3]
    """
    draft.block = "Look first"
    draft.add(
        "check",
        "ground",
        "Dig a hole: is the ground thawed to 12 in (30 cm)? Look at the forecast too.",
        why="Water let into frozen pipe splits it.",
        cautions=(
            _NO_PROMISE,
            _DIG,
        ),
        source=_THAW,
        minutes=minutes.DIG,
    )
    draft.add(
        "check",
        "parts above ground",
        "Walk round: cracks, missing plugs, open lids, bodies that split.",
        why="A split part is found more cheaply before water is behind it.",
        source=_THAW,
        minutes=minutes.DIG,
    )
    _read_meters(draft, autumn, choices)


def _read_meters(
    draft: Draft, autumn: AutumnRecord | None, choices: StartupChoices
) -> None:
    meters = [x.id for x in draft.piping.graph.links.values() if x.kind == "meter"]
    then = autumn.meter_m3 if autumn else None
    for meter in meters:
        text = f"Write down what meter {meter} shows."
        why = "Later readings are compared with it."
        if then is not None and len(meters) == 1:
            text += f" In autumn it showed {both(then, 'volume')}."
            why = "If it moved over the winter, a shut valve lets water by."
            if choices.meter_m3 is not None:
                text += _moved(choices.meter_m3 - then)
        draft.add("record", meter, text, why=why, minutes=minutes.TURN)


def _moved(volume_m3: float) -> str:
    if volume_m3 == 0.0:
        return " It has not moved."
    if volume_m3 < 0.0:
        return " It shows less now: one of the readings is wrong, or it was changed."
    return f" {both(volume_m3, 'volume')} went by since: find where before you fill."
