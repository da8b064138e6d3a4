"""The report on paper."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import pytest
from pypdf import PdfReader

from tarebook.report import numbers
from tarebook.report.document import document, first_page
from tarebook.report.outcome import Outcome

USUAL_HEADINGS = (
    "Run by run",
    "What was noticed",
    "How each number was made",
    "Where the uncertainty comes from",
    "Liquid weighed and liquid read",
    "Safety",
    "Readings",
    "Instruments",
    "Constants and strength",
    "Sources",
)

HEADINGS = (
    "From the textbook calculation to the model of the cup",
    "Run by run",
    "What was noticed",
    "How each number was made",
    "How well the model fits",
    "Where the uncertainty comes from",
    "What the readings taught",
    "Liquid weighed and liquid read",
    *USUAL_HEADINGS[5:],
)


def read(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def lines_of(pdf: bytes) -> list[list[str]]:
    return [
        [line.strip() for line in page.extract_text().splitlines() if line.strip()]
        for page in read(pdf).pages
    ]


def titled(outcome: Outcome, title: str) -> Outcome:
    return replace(outcome, experiment=replace(outcome.experiment, title=title))


@pytest.fixture(scope="module")
def pdf(outcome: Outcome) -> bytes:
    return document(outcome)


def test_it_has_four_to_seven_pages_of_a4(pdf: bytes) -> None:
    pages = read(pdf).pages
    assert 4 <= len(pages) <= 7
    assert [round(float(side)) for side in pages[0].mediabox[2:]] == [595, 842]


def test_letter_paper(outcome: Outcome) -> None:
    page = read(document(outcome, paper="letter")).pages[0]
    assert [round(float(side)) for side in page.mediabox[2:]] == [612, 792]


def test_it_says_title_language_and_standards(pdf: bytes, outcome: Outcome) -> None:
    reader = read(pdf)
    assert reader.metadata is not None
    assert reader.metadata.title == outcome.experiment.title
    root: Any = reader.root_object
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    metadata = root["/Metadata"].get_object().get_data().decode()
    assert "<pdfuaid:part>1</pdfuaid:part>" in metadata
    assert "<pdfaid:part>2</pdfaid:part>" in metadata
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in metadata


def test_the_answer_stands_on_the_first_page(pdf: bytes, outcome: Outcome) -> None:
    first = " ".join(lines_of(pdf)[0])
    usual, full = outcome.usual.series, outcome.full.series
    assert usual is not None
    assert full is not None
    for part in (
        f"We found {numbers.quantity(full.sample_mass_fraction)}",
        "The textbook calculation counts the mass lost as the CO₂ made and gives "
        f"{numbers.quantity(usual.sample_mass_fraction)}",
        "The label says 95.00",
        "95 % interval",
        "equivalence point",
        "textbook calculation: lines meet at",
    ):
        assert part.replace("\u00a0", " ") in first.replace("\u00a0", " ")


def test_every_page_says_that_the_data_are_invented(pdf: bytes, outcome: Outcome) -> None:
    for page in lines_of(pdf):
        assert outcome.experiment.invented in page
        assert any(line.startswith("Invented data. Tarebook") for line in page)


def test_all_parts_are_there_and_no_heading_ends_a_page(
    outcome: Outcome, odd_outcome: Outcome, usual_outcome: Outcome
) -> None:
    for each, headings in (
        (outcome, HEADINGS),
        (odd_outcome, HEADINGS),
        (usual_outcome, USUAL_HEADINGS),
    ):
        pages = lines_of(document(each))
        everything = [line for page in pages for line in page]
        assert [line for line in everything if line in HEADINGS] == list(headings)
        for page in pages:
            body = [line for line in page if not line.startswith(("Invented data", "page "))]
            assert body[-1] not in HEADINGS


def test_the_same_outcome_gives_the_same_bytes(pdf: bytes, outcome: Outcome) -> None:
    assert document(outcome) == pdf


def test_the_first_page_is_drawn_the_same_each_time(outcome: Outcome) -> None:
    first, second = (first_page(outcome, ppi=40) for _ in range(2))
    assert first == second
    assert first.startswith(b"\x89PNG")
    width, height = (int.from_bytes(first[at : at + 4], "big") for at in (16, 20))
    # A4 is 210 mm x 297 mm; an inch is 25.4 mm.
    assert (width, height) == pytest.approx((40 * 210 / 25.4, 40 * 297 / 25.4), abs=1)


def test_the_date_is_that_of_the_outcome(outcome: Outcome) -> None:
    dated = document(replace(outcome, made_on="2031-05-17"))
    assert "2031-05-17" in " ".join(lines_of(dated)[0])
    metadata = read(dated).metadata
    assert metadata is not None
    assert metadata.creation_date is not None
    assert metadata.creation_date.date().isoformat() == "2031-05-17"


def test_a_row_without_changeover_still_makes_a_report(open_outcome: Outcome) -> None:
    text = " ".join(line for page in lines_of(document(open_outcome)) for line in page)
    assert "does not tell how much" in text
    assert "We found" not in text


def test_marks_of_the_typesetter_in_a_title_stay_text(outcome: Outcome) -> None:
    title = r"#emph[a] $x^2$ *b* _c_ \ @d <e> 50 %"
    assert read(document(titled(outcome, title))).metadata.title == title  # type: ignore[union-attr]


def test_letters_that_the_shipped_font_lacks_do_not_stop_the_report(outcome: Outcome) -> None:
    pdf = document(titled(outcome, "重曹の量"))
    assert read(pdf).metadata.title == "重曹の量"  # type: ignore[union-attr]
    assert b"pdfaid" not in pdf


def test_each_example_is_marked_on_every_page_and_held_to_the_standards(example: Outcome) -> None:
    pdf = document(example)
    for page in lines_of(pdf):
        assert example.experiment.invented in page
    root: Any = read(pdf).root_object
    metadata = root["/Metadata"].get_object().get_data().decode()
    assert "<pdfuaid:part>1</pdfuaid:part>" in metadata
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in metadata
    assert len(read(pdf).pages) <= 7
