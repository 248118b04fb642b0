"""A season's list for paper: its steps in runs, numbers in columns, cautions lettered.

A caution that comes back has a letter: it stands in full in a block of its own, and
beside its steps with its first words. One that stands at a single step is printed in
full there.
"""

import re
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from string import ascii_lowercase
from typing import Final

from maintenance.documents.used_sheet import UsedRow
from maintenance.engine.procedure.step import Step
from maintenance.services.seasons.kept_list import StepLine, WholeList

SHORT_WORDS: Final = 5
"""So many words of a caution that comes back stand beside its steps."""
SMALL_WORD: Final = 3
"""No caution breaks off after a word of so few letters."""
EACH_ROW: Final = "Each row"
IN_COLUMNS: Final = "Air on slowly at the setting, see it pass: the front, then passes."
"""What a row of air asks for once its numbers stand in columns."""
_SENTENCES: Final = re.compile(r"(?<=[.!?]) ")
_DONE_AT: Final = re.compile(r" Done at [^.]* on the gauge\.")
_STATION: Final = re.compile(r"Start (?:station (\S+)|the station)\.")


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution beside its step; with a letter where the block has it in full."""

    letter: str
    text: str


@dataclass(frozen=True, slots=True)
class PrintStep:
    """A step as it is printed.

    ``used`` holds what stands in the columns of a row of air, ``station`` what starts
    it; ``to_read`` tells that something is written down at the end.
    """

    line: StepLine
    text: str
    cautions: tuple[Caution, ...]
    used: UsedRow | None
    station: str
    to_read: bool


@dataclass(frozen=True, slots=True)
class SaidOnce:
    """What the rows of air named have in common, said at the head of their block."""

    rows: str
    text: str


@dataclass(frozen=True, slots=True)
class PrintBlock:
    """Steps under one heading, and what is said there once for rows of air."""

    heading: str
    said: tuple[SaidOnce, ...]
    steps: tuple[PrintStep, ...]

    @property
    def air(self) -> bool:
        """Whether it has rows of air, and so columns for setting, times and gauge."""
        return any(step.used for step in self.steps)


@dataclass(frozen=True, slots=True)
class PrintRun:
    """Blocks that follow each other in the same shape: a table of air, or columns."""

    air: bool
    blocks: tuple[PrintBlock, ...]


@dataclass(frozen=True, slots=True)
class SeasonPrint:
    """All of a list for paper; ``cautions`` are those that come back, in full."""

    runs: tuple[PrintRun, ...]
    cautions: tuple[Caution, ...]
    minutes: float

    @property
    def air(self) -> bool:
        """Whether anything is blown out."""
        return any(run.air for run in self.runs)


def print_list(
    whole: WholeList, rows: Mapping[str, UsedRow], asked: Container[int] = ()
) -> SeasonPrint:
    """Arrange a list for paper; steps that a rebuild left out are not on it.

    Parameters
    ----------
    whole : WholeList
        The list. [-]
    rows : mapping of str to UsedRow
        Rows of the sheet that it used, by key. [-]
    asked : container of int, optional
        Ids of the steps that end with something to write down. [-]

    Returns
    -------
    SeasonPrint
        In the list's order; ``minutes`` is hands-on and waiting time together. [min]
    """
    lines = [line for line in whole.steps if not line.gone]
    back = _that_come_back(lines)
    blocks = [
        _block(heading, list(group), rows, back, asked)
        for heading, group in groupby(lines, key=lambda line: line.step.block)
    ]
    return SeasonPrint(
        runs=tuple(
            PrintRun(air, tuple(group))
            for air, group in groupby(blocks, key=lambda block: block.air)
        ),
        cautions=tuple(Caution(letter, text) for text, letter in back.items()),
        minutes=sum(line.step.minutes for line in lines),
    )


def letter_at(place: int) -> str:
    """Return a to z, then aa, ab and so on.

    Examples
    --------
    >>> [letter_at(n) for n in (0, 25, 26, 52)]
    ['a', 'z', 'aa', 'ba']
    """
    more, last = divmod(place, len(ascii_lowercase))
    return (letter_at(more - 1) if more else "") + ascii_lowercase[last]


def short(caution: str) -> str:
    """Return the first words of a caution, all of it where few more follow.

    Examples
    --------
    >>> short("Key in and out only with no pressure: it can fly.")
    'Key in and out only …'
    >>> short("If it spurts, shut it and let the pressure off first.")
    'If it spurts …'
    >>> short("Stand clear of the heads.")
    'Stand clear of the heads.'
    """
    words = caution.split()
    if len(words) <= SHORT_WORDS + 1:
        return caution
    first = words[:SHORT_WORDS]
    ends = [n for n, word in enumerate(first, start=1) if word[-1] in ":;,."]
    if ends and ends[-1] > 1:
        first = first[: ends[-1]]
    else:
        while len(first) > 2 and len(first[-1]) <= SMALL_WORD:
            first.pop()
    return f"{' '.join(first).rstrip(':;,.')} …"


def _that_come_back(lines: Iterable[StepLine]) -> dict[str, str]:
    """Return the letters of the cautions that stand at several steps."""
    steps: dict[str, set[int]] = {}
    for line in lines:
        for text in line.step.cautions:
            steps.setdefault(text, set()).add(line.id)
    several = [text for text, at in steps.items() if len(at) > 1]
    return {text: letter_at(place) for place, text in enumerate(several)}


def _block(
    heading: str,
    lines: Sequence[StepLine],
    rows: Mapping[str, UsedRow],
    back: Mapping[str, str],
    asked: Container[int],
) -> PrintBlock:
    used = {line.id: _blown(line.step, rows) for line in lines}
    blown = {line.id: _without_numbers(line.step) for line in lines if used[line.id]}
    said = _said_once(
        (row.passes, blown[key]) for key, row in used.items() if row is not None
    )
    if any(_numbers(line.step) for line in lines if used[line.id]):
        said = _with_columns(said)
    once = {sentence for each in said for sentence in _SENTENCES.split(each.text)}
    steps: list[PrintStep] = []
    for line in lines:
        text, station = line.step.text, ""
        if line.id in blown:
            text, station = _without_station(
                [each for each in blown[line.id] if each not in once]
            )
        cautions = tuple(
            Caution(back[each], short(each)) if each in back else Caution("", each)
            for each in line.step.cautions
        )
        to_read = line.id in asked
        steps.append(PrintStep(line, text, cautions, used[line.id], station, to_read))
    return PrintBlock(heading, said, tuple(steps))


def _with_columns(said: tuple[SaidOnce, ...]) -> tuple[SaidOnce, ...]:
    """Say of each row what its columns ask for, before all else."""
    if said and said[0].rows == EACH_ROW:
        first, *others = said
        return (SaidOnce(EACH_ROW, f"{IN_COLUMNS} {first.text}"), *others)
    return (SaidOnce(EACH_ROW, IN_COLUMNS), *said)


def _said_once(rows: Iterable[tuple[str, Sequence[str]]]) -> tuple[SaidOnce, ...]:
    """Find what can be said once: of all rows, of those with a station or a rest.

    ``rows`` pairs the passes of each row with its sentences. A sentence is said of some
    rows only if no other row has it.
    """
    told = list(rows)
    stations = [any(map(_STATION.match, sentences)) for _, sentences in told]
    found: list[SaidOnce] = []
    known: set[str] = set()
    for name, chosen in (
        (EACH_ROW, [True] * len(told)),
        ("From a station", stations),
        ("With a rest", ["rest" in passes for passes, _ in told]),
    ):
        those = [each for (_, each), is_ in zip(told, chosen, strict=True) if is_]
        others = [each for (_, each), is_ in zip(told, chosen, strict=True) if not is_]
        if len(those) < 2:
            continue
        common = [
            each
            for each in those[0]
            if each not in known
            and not _STATION.match(each)
            and all(each in row for row in those)
            and not any(each in row for row in others)
        ]
        if common:
            known.update(common)
            found.append(SaidOnce(name, " ".join(common)))
    return tuple(found)


def _blown(step: Step, rows: Mapping[str, UsedRow]) -> UsedRow | None:
    used = rows.get(step.row or "") if step.act == "blow" else None
    return used if used and used.setting else None


def _without_numbers(step: Step) -> list[str]:
    """Return the sentences of a row of air without those that columns tell.

    Where the step is worded otherwise, nothing is taken from it.
    """
    numbers = _numbers(step)
    if not numbers:
        return _SENTENCES.split(step.text)
    text = _DONE_AT.sub("", step.text.replace(numbers, ""))
    return [each.strip() for each in _SENTENCES.split(text) if each.strip()]


def _numbers(step: Step) -> str:
    """Return the sentence of a row of air whose numbers stand in columns too."""
    setting, _, times = step.to.partition("; ")
    told = f"Air on slowly at {setting}, see it pass: {times}."
    return told if times and told in step.text else ""


def _without_station(sentences: Sequence[str]) -> tuple[str, str]:
    """Take the station that is started out of a row, into its column."""
    told = [_STATION.fullmatch(each) for each in sentences]
    found = next((match for match in told if match), None)
    kept = [each for each, match in zip(sentences, told, strict=True) if not match]
    return " ".join(kept), (found[1] or "its own") if found else ""
