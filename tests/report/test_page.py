"""The report as a page."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from html.parser import HTMLParser
from importlib import resources

import pytest

from tarebook.report import numbers
from tarebook.report.languages.words import words
from tarebook.report.outcome import Outcome
from tarebook.report.page import page
from tarebook.report.sheets.cautions import always, cautions_of_gas
from tarebook.report.story import tell

VOID = {"meta", "br", "link", "img", "input", "hr"}


class Elements(HTMLParser):
    """Gathers elements, headings and text, and checks that tags are closed in order."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.headings: list[int] = []
        self.feed(html)
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if re.fullmatch(r"h[1-6]", tag):
            self.headings.append(int(tag[1]))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


@pytest.fixture(scope="module")
def html(outcome: Outcome) -> str:
    return page(outcome)


def test_it_fetches_nothing_and_runs_nothing(html: str) -> None:
    tags = Elements(html).tags
    assert not {tag for tag, _ in tags} & {"script", "link", "iframe", "object", "img", "base"}
    for _, attributes in tags:
        assert not [name for name in attributes if name.startswith("on")]
        assert not (attributes.keys() & {"src", "href"})
    addresses = set(re.findall(r"https?://[^\s\"'<)]+", html))
    assert addresses <= {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}
    assert all(part.startswith("data:font/") for part in re.findall(r"url\(([^)#]+)\)", html))


def test_it_stays_small(html: str) -> None:
    assert len(html.encode()) < 1_500_000


def test_headings_go_down_one_level_at_a_time(html: str) -> None:
    headings = Elements(html).headings
    assert headings.count(1) == 1
    assert headings[0] == 1
    assert all(after - before <= 1 for before, after in itertools.pairwise(headings))


def test_ids_are_unique_and_references_hit(html: str) -> None:
    tags = Elements(html).tags
    ids = [attributes["id"] for _, attributes in tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    named = {a["aria-labelledby"] for _, a in tags if "aria-labelledby" in a}
    assert named <= set(ids)


def test_every_picture_is_described_and_every_table_has_heads(html: str) -> None:
    tags = Elements(html).tags
    figures = [attributes for tag, attributes in tags if tag == "figure"]
    assert len(figures) == 6
    assert all(figure["role"] == "img" and figure["aria-label"] for figure in figures)
    assert {a["scope"] for tag, a in tags if tag == "th"} == {"col", "row"}


def test_the_usual_sum_stands_beside_the_model(html: str, outcome: Outcome) -> None:
    usual, full = outcome.usual.series, outcome.full.series
    assert usual is not None
    assert full is not None
    headline = html.split('class="number"')[1].split("</p>")[0]
    assert f"{100 * full.sample_mass_fraction.value:.1f}"[:4] in headline
    assert numbers.quantity(usual.sample_mass_fraction) in html
    assert "chapter on the model of the cup" in html
    assert "docs/" not in html


def test_without_the_model_the_page_is_that_of_the_usual_sum(usual_outcome: Outcome) -> None:
    html = page(usual_outcome)
    tags = Elements(html).tags
    assert len([tag for tag, _ in tags if tag == "figure"]) == 4
    assert "A second way, from the equivalence point" in html
    assert "The textbook calculation counts the mass lost as the CO₂ made. Gas that stays" in html
    assert "What the readings taught" not in html


def test_each_example_makes_a_page_that_says_it_is_invented(example: Outcome) -> None:
    html = page(example)
    Elements(html)
    assert f'<p class="invented" role="note">{example.experiment.invented}</p>' in html
    assert "Invented data. Tarebook" in html


def test_names_from_the_definition_stay_text(outcome: Outcome) -> None:
    bad = "<script>alert('x')</script>\"&"
    experiment = replace(outcome.experiment, title=bad, invented=bad)
    tags = Elements(page(replace(outcome, experiment=experiment))).tags
    assert "script" not in {tag for tag, _ in tags}


def test_without_changeover_the_page_says_why(open_outcome: Outcome) -> None:
    html = page(open_outcome)
    Elements(html)
    assert "does not tell how much NaHCO₃" in html
    assert 'class="number"' not in html


def luminance(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: str, second: str) -> float:
    """Contrast ratio of WCAG 2.2, relative luminance and 1.4.3."""
    low, high = sorted((luminance(first), luminance(second)))
    return (high + 0.05) / (low + 0.05)


def palettes() -> dict[str, dict[str, str]]:
    styles = resources.files("tarebook.report") / "templates"
    light, dark, paper = (
        dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", (styles / name).read_text(encoding="utf-8")))
        for name in ("light.css", "dark.css", "report.css")
    )
    return {"light": light, "dark": {**light, **dark}, "print": {**light, **paper}}


def test_black_on_white_has_the_contrast_that_the_standard_states() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("look", ["light", "dark", "print"])
@pytest.mark.parametrize("words", ["ink", "soft", "accent", "warm"])
def test_words_stand_out_from_paper_and_band(look: str, words: str) -> None:
    palette = palettes()[look]
    assert contrast(palette[words], palette["paper"]) >= 4.5
    if words == "ink":
        assert contrast(palette[words], palette["chart-band"]) >= 4.5


def test_cells_with_words_are_set_in_one_column(outcome: Outcome) -> None:
    """Two columns are for the list of effects; a cell of a table has the same class."""
    made = page(outcome)
    assert '<td class="words">' in made
    style = made.partition("<style>")[2].partition("</style>")[0]
    rules = re.findall(r"([^{}]+)\{([^{}]*)\}", style)
    of_words = [what.split()[-1] for what, how in rules if ".words" in what and "columns: 2" in how]
    assert of_words == ["dl.words"]


SAFETY = always(words("en"))


def test_the_cautions_of_a_report_are_in_the_language_of_the_course(outcome: Outcome) -> None:
    preparation = outcome.experiment.preparation
    german = replace(preparation, course=replace(preparation.course, language="de"))
    reaction = replace(outcome.experiment.reaction, gas="H2")
    experiment = replace(outcome.experiment, preparation=german, reaction=reaction)
    told = tell(replace(outcome, experiment=experiment))
    assert told.safety[0].startswith("Keine Flamme, kein Funke")
    assert told.safety[1:] == always(words("de"))
    german_only = replace(outcome, experiment=replace(outcome.experiment, preparation=german))
    made = page(german_only)
    assert '<section aria-labelledby="safety" lang="de">' in made
    assert "Schutzbrille" in made
    assert "Wear goggles" not in made


def test_the_cautions_of_a_report_begin_with_the_gas(outcome: Outcome) -> None:
    assert tell(outcome).safety == SAFETY
    burning = replace(outcome.experiment, reaction=replace(outcome.experiment.reaction, gas="H2"))
    poisonous = replace(
        outcome.experiment, reaction=replace(outcome.experiment.reaction, gas="SO2")
    )
    assert cautions_of_gas(burning) == ("No flame, no spark: hydrogen (H₂) burns.",)
    assert cautions_of_gas(poisonous)[0].startswith("STOP: sulfur dioxide (SO₂) is poisonous.")
    told = tell(replace(outcome, experiment=burning))
    assert told.safety == ("No flame, no spark: hydrogen (H₂) burns.", *SAFETY)
