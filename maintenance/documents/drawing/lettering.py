"""How much room a word takes, judged so that it is never too little."""

from typing import Final

from maintenance.documents.drawing.sheet import Box

ASCENT: Final = 0.96
PAD: Final = 0.1
"""Room at both ends of a word, in em: some letters reach out of their own width."""
LINE: Final = 1.22
"""Height of the box of one line of text, in em; covers the common system fonts."""

# The widest of the common system faces decides (measured on DejaVu Sans).
_WIDE: Final = frozenset("mwMW@%+<>=~−…—½¼¾")


def character_width(character: str) -> float:
    """Return the width of one character that common fonts do not exceed, in em."""
    if character in _WIDE or ord(character) >= 0x2E80:
        return 1.0
    if character.isupper() or character == "&":
        return 0.79
    if ord(character) >= 0x250:
        return 0.85
    return 0.64


def text_width(text: str, size: float) -> float:
    """Return the width of a text that common fonts do not exceed, in view units."""
    return size * (2 * PAD + sum(character_width(character) for character in text))


def text_box(text: str, x: float, baseline: float, anchor: str, size: float) -> Box:
    """Return the box that a text may fill."""
    width, pad = text_width(text, size), PAD * size
    left = {"start": x - pad, "middle": x - width / 2, "end": x + pad - width}[anchor]
    top = baseline - ASCENT * size
    return (left, top, left + width, top + LINE * size)


def boxes_overlap(first: Box, second: Box) -> bool:
    """Tell whether two boxes share more than an edge."""
    return (
        first[0] < second[2]
        and second[0] < first[2]
        and first[1] < second[3]
        and second[1] < first[3]
    )
