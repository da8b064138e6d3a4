"""Texts, numbers, dates and times of the printed sheets."""

from __future__ import annotations

import datetime as dt

import pytest

from tarebook.core.errors import InputError
from tarebook.core.quantity import Measured, Source
from tarebook.core.tables import reference_table
from tarebook.measurement.volumes import VolumeKind
from tarebook.report.languages.known import LANGUAGES
from tarebook.report.languages.words import words
from tarebook.report.languages.writing import writing


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_code_and_name_of_the_tables_has_a_text(language: str) -> None:
    said = words(language)
    table = reference_table("tarebook.planning", "hazards")
    for code, row in table["codes"]["H"].items():
        assert said(f"H.{code}")
        if "pictogram" in row:
            assert said(f"pictogram.{row['pictogram']}")
            assert said(f"signal.{row['signal']}")
        for precaution in row["P"]:
            assert said(f"P.{precaution}")
    for row in table["substances"]:
        assert said(f"substance.{row['key']}")
    for row in table["indicators"]:
        assert said(f"substance.{row['key']}")
    for row in table["gases"]:
        assert said(f"gas.{row['name']}")
    for row in reference_table("tarebook.planning", "bought")["bought"]:
        assert said(f"substance.bought_{row['key']}")
        assert said(f"stock.step_heat_{row['heat']}")
    for kind in VolumeKind:
        assert said(f"item.{kind.value}", size="1 mL", detail="water")
        assert said(f"ware.{kind.value}", size="1 mL")


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_line_of_safety_says_who_decides(language: str) -> None:
    line = words(language)("sheet.check")
    wanted = {
        "en": "Check against your supplier's safety data sheet and local rules; "
        "the person in charge decides.",
        "de": "Mit dem Sicherheitsdatenblatt Ihres Lieferanten und den örtlichen Vorschriften "
        "vergleichen; die verantwortliche Person entscheidet.",
        "es": "Comparar con la ficha de datos de seguridad del proveedor y con las normas locales; "
        "decide la persona responsable.",
    }
    assert line == wanted[language]


def test_numbers_have_the_decimal_sign_of_the_place() -> None:
    assert writing("en").number(12.345) == "12.3"
    assert writing("de").number(12.345) == "12,3"
    assert writing("de").volume(0.0125) == "12,5\u00a0mL"
    assert writing("de").volume(1.25) == "1,25\u00a0L"
    spain, mexico = writing("es"), writing("es", "letter")
    assert (spain.number(12.345), mexico.number(12.345)) == ("12,3", "12.3")
    said = [place.words("check.step_repeat") for place in (spain, mexico, writing("de"))]
    assert ["0,05 mL" in said[0], "0.05 mL" in said[1], "0,05 mL" in said[2]] == [True] * 3
    assert writing("en").mass(1234.0) == "1.23\u00a0kg"
    measured = Measured(value=0.7507, u=0.0024, unit="mol/L", source=Source("x", "declared"))
    assert writing("de").plus_minus(measured) == "0,7507\u202f±\u202f0,0024"


@pytest.mark.parametrize(
    ("value", "digits", "expected"),
    [
        (0.0, 3, "0"),
        (0.00012345, 3, "0.000123"),
        (99.96, 3, "100"),
        (1500.0, 3, "1500"),
        (-2.5, 3, "\u22122.5"),
        (18.7666, 4, "18.77"),
    ],
)
def test_significant_digits(value: float, digits: int, expected: str) -> None:
    assert writing("en").number(value, digits) == expected


def test_dates_and_times_follow_language_and_paper() -> None:
    day, moment = dt.date(2027, 3, 2), dt.time(14, 5)
    british, american, german = writing("en"), writing("en", "letter"), writing("de", "letter")
    assert british.date(day) == "Tuesday, 2 March 2027"
    assert american.date(day) == "Tuesday, March 2, 2027"
    assert german.date(day) == "Dienstag, 2. März 2027"
    assert writing("es").date(day) == "martes, 2 de marzo de 2027"
    assert (british.time(moment), german.time(moment)) == ("14:05", "14:05")
    assert american.time(moment).replace("\u202f", " ") == "2:05 PM"


def test_the_definition_can_name_the_place() -> None:
    canadian = writing("en", "a4", "en-CA")
    assert canadian.locale == "en_CA"
    assert canadian.time(dt.time(9, 0)).lower().replace("\u202f", " ").startswith("9:00 a")


@pytest.mark.parametrize("locale", ["xx_YY", "de_DE", "nonsense", "fr"])
def test_a_place_of_another_language_is_refused(locale: str) -> None:
    with pytest.raises(InputError, match=r"course\.locale"):
        writing("en", "a4", locale)
