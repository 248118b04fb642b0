"""Files of others are what they say they are."""

import hashlib
from pathlib import Path

import pytest

VENDOR = Path(__file__).resolve().parents[2] / "maintenance/static/maintenance/vendor"
OWN = {"CHECKSUMS", "README.md"}


def _sums() -> dict[str, str]:
    lines = (VENDOR / "CHECKSUMS").read_text("utf-8").splitlines()
    return {name: digest for digest, name in (line.split() for line in lines)}


def test_every_vendored_file_has_its_checksum() -> None:
    there = {path.name for path in VENDOR.iterdir()} - OWN
    assert there == set(_sums())


@pytest.mark.parametrize("name", sorted(_sums()))
def test_a_vendored_file_is_unchanged(name: str) -> None:
    digest = hashlib.sha256((VENDOR / name).read_bytes()).hexdigest()
    assert digest == _sums()[name]


@pytest.mark.parametrize(
    ("licence", "words"),
    [
        ("pico.LICENSE.md", "MIT License"),
        ("htmx.LICENSE", "Zero-Clause BSD"),
    ],
)
def test_a_vendored_file_stands_beside_its_licence(licence: str, words: str) -> None:
    assert words in (VENDOR / licence).read_text("utf-8")


def test_the_versions_are_those_of_the_list() -> None:
    listed = (VENDOR / "README.md").read_text("utf-8")
    assert "Pico CSS ✨ v2.1.1" in (VENDOR / "pico.min.css").read_text("utf-8")
    assert 'version:"2.0.10"' in (VENDOR / "htmx.min.js").read_text("utf-8")
    assert "| 2.1.1 |" in listed
    assert "| 2.0.10 |" in listed
