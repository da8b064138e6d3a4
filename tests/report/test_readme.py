"""The README shows what the program says today; scripts/make_pictures.py writes it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tarebook.api.reduce_series import reduce
from tarebook.report import numbers
from tarebook.report.outcome import Outcome
from tarebook.report.text import summary, text

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / "docs" / "pictures"
STALE = "run scripts/make_pictures.py"


@pytest.fixture(scope="module")
def demo() -> Outcome:
    return reduce(ROOT / "examples" / "clean-pool-granules", today=False)


def test_the_table_is_that_of_the_demo(demo: Outcome) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    _, _, rest = readme.partition("<!-- table of the demo: begin -->\n```text\n")
    table, end, _ = rest.partition("\n```\n<!-- table of the demo: end -->")
    assert end
    assert table == summary(demo).rstrip(), STALE
    assert max(len(line) for line in table.splitlines()) <= 80


def test_the_summary_is_how_the_whole_text_begins(demo: Outcome) -> None:
    short = summary(demo)
    assert text(demo).startswith(short)
    order = ("We found", "From the textbook calculation", "Run by run")
    places = [short.index(part) for part in order]
    assert places == sorted(places)


def test_the_pictures_show_the_numbers_of_the_demo(demo: Outcome) -> None:
    assert demo.full.series is not None
    curve = (PICTURES / "curve.svg").read_text(encoding="utf-8")
    assert numbers.quantity(demo.full.series.equivalence) in curve, STALE
    waterfall = (PICTURES / "waterfall.svg").read_text(encoding="utf-8")
    content = numbers.outward(demo.full.series.sample_mass_fraction)
    shown = numbers.fixed(content.value, numbers.places(content.value, content.u))
    assert f"{shown}\u00a0%" in waterfall, STALE
    for drawing in (curve, waterfall):
        assert 'fill="#ffffff"' in drawing.split("<g", 1)[0], "no ground of its own"


@pytest.mark.parametrize("name", ["report-page-1.png", "page-phone.png", "page-desktop.png"])
def test_the_photographs_are_there(name: str) -> None:
    assert (PICTURES / name).read_bytes().startswith(b"\x89PNG")
