"""The fonts of the pages: every character that the program writes, small, as the license asks."""

from __future__ import annotations

from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from scripts.make_fonts import CUTS, FONTS, NAME, WEB, web_font

SOURCE = Path(__file__).parents[2] / "src" / "tarebook"
WRITTEN_IN = ("*.py", "*.toml", "*.ftl", "*.html", "*.js", "*.css")
OFTEN = "äöüÄÖÜßñáéíóúçèêœ¿¡«»„“”’–—−±×·…°‰²³⁺⁻₀₁₂₃₄χµμΔσ√≈≤≥→↑↓⇌●■◆"
"""Of German, Spanish, French and of the trade."""


def characters(font: Path) -> set[int]:
    with TTFont(font) as opened:
        return set(opened.getBestCmap())


@pytest.mark.parametrize(("name", "cut"), CUTS.items())
def test_it_has_every_character_that_the_program_writes(name: str, cut: str) -> None:
    files = [
        file
        for part in ("report", "web", "api", "planning", "diagnosis", "series")
        for pattern in WRITTEN_IN
        for file in (SOURCE / part).rglob(pattern)
    ]
    assert len(files) > 150
    written = {ord(letter) for file in files for letter in file.read_text(encoding="utf-8")}
    original = characters(FONTS / name)
    wanted = (written | set(map(ord, OFTEN))) & original
    assert len(wanted) > 140
    missing = wanted - characters(WEB / f"TarebookSans-{cut}.woff2")
    assert [chr(code) for code in sorted(missing)] == []


@pytest.mark.parametrize(("name", "cut"), CUTS.items())
def test_it_is_what_the_script_makes(name: str, cut: str, tmp_path: Path) -> None:
    made = tmp_path / "made.woff2"
    web_font(FONTS / name, cut, made)
    kept = WEB / f"TarebookSans-{cut}.woff2"
    with TTFont(made) as one, TTFont(kept) as other:
        assert one.getGlyphOrder() == other.getGlyphOrder()
        assert one["hmtx"].metrics == other["hmtx"].metrics
        assert [str(record) for record in one["name"].names] == [
            str(record) for record in other["name"].names
        ]
    assert kept.stat().st_size < 40_000


@pytest.mark.parametrize("cut", CUTS.values())
def test_the_reserved_name_is_not_its_name(cut: str) -> None:
    with TTFont(WEB / f"TarebookSans-{cut}.woff2") as font:
        names = {record.nameID: str(record) for record in font["name"].names}
    assert names[1].startswith(NAME)
    assert not [names[number] for number in (1, 3, 4, 6, 16) if "Plex" in names.get(number, "")]
    assert "Open Font License" in names[13]
    assert "IBM" in names[0]
