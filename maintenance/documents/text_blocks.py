"""Blocks of plain text for a terminal: columns and lists."""

from collections.abc import Iterable, Sequence


def columns(lines: Sequence[Sequence[str]]) -> str:
    """Lay out a table, its first line the header, every column to the right."""
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    return "\n".join(
        "  "
        + "  ".join(cell.rjust(wide) for cell, wide in zip(line, widths, strict=True))
        for line in lines
    )


def listed(title: str, texts: Iterable[str]) -> str:
    """Return a title with its list, nothing where the list is empty."""
    lines = [f"  - {text}" for text in texts]
    return "\n".join([title, *lines]) if lines else ""
