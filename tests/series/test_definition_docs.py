"""The page of the definition's keys says what the schema says: keys, defaults, examples."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from functools import lru_cache
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel, TypeAdapter
from pydantic_core import PydanticUndefined

from tarebook.series import schema
from tarebook.series.definition import parse_definition

PAGE = (Path(__file__).parents[2] / "docs" / "definition.md").read_text(encoding="utf-8")

SECTIONS: dict[str, type[schema.Table]] = {
    "## Whole file": schema.DefinitionFile,
    "## [reaction]": schema.ReactionTable,
    "## [sample]": schema.SampleTable,
    "## [[sample.acids]]": schema.SampleAcidTable,
    "## [reagent]": schema.ReagentTable,
    "## [reagent.strength]": schema.Strength,
    '### given_as = "mol per L"': schema.Molarity,
    '### given_as = "mass percent"': schema.MassPercent,
    '### given_as = "g per 100 mL"': schema.MassPerVolume,
    '### given_as = "mass fraction and density"': schema.MassFractionAndDensity,
    '### given_as = "weighed solid"': schema.WeighedSolid,
    '### given_as = "dilution"': schema.Dilution,
    '### given_as = "titration"': schema.Titration,
    "### A pour": schema.Pour,
    "## [series]": schema.SeriesTable,
    "## [instruments]": schema.InstrumentsTable,
    "## [instruments.reagent]": schema.VolumeTable,
    "## [instruments.balance]": schema.BalanceTable,
    "## [instruments.thermometer]": schema.ThermometerTable,
    "## [weighing]": schema.WeighingTable,
    "## [vessel]": schema.VesselTable,
    "## [waiting]": schema.WaitingTable,
    "## [room]": schema.RoomTable,
    "## [prepare]": schema.PrepareTable,
    "## [prepare.bought]": schema.BoughtTable,
    "## [[prepare.confirmed]]": schema.ConfirmedTable,
    "## [prepare.gas_decision]": schema.GasDecisionTable,
    "## [course]": schema.CourseTable,
}

_ROW = re.compile(r"^\| `(\w+)` \| (.*) \| (.*) \| (.*) \| `(.*)` \|$")


@lru_cache
def rows() -> dict[str, dict[str, tuple[str, str, str]]]:
    """Return the rows of each section: key to allowed, default and example."""
    found: dict[str, dict[str, tuple[str, str, str]]] = {}
    section = ""
    for line in PAGE.splitlines():
        if line.startswith("#"):
            section = line
        match = _ROW.match(line)
        if match:
            found.setdefault(section, {})[match[1]] = (match[3], match[4], match[5])
    return found


def own_keys(model: type[BaseModel]) -> set[str]:
    """Return the keys of a table that its own section has to explain."""
    keys = set(model.model_fields)
    if model is schema.DefinitionFile:
        keys = {key for key in keys if f"## [{key}]" not in PAGE}
    if issubclass(model, schema.Strength) and model is not schema.Strength:
        keys -= set(schema.Strength.model_fields)
    return keys - {"given_as"}


def test_every_table_of_the_schema_has_its_section() -> None:
    tables = {
        one
        for one in vars(schema).values()
        if isinstance(one, type) and issubclass(one, schema.Table) and one is not schema.Table
    }
    assert tables == set(SECTIONS.values())
    assert set(rows()) == set(SECTIONS)


@pytest.mark.parametrize("section", SECTIONS)
def test_every_key_is_explained_with_its_default(section: str) -> None:
    model = SECTIONS[section]
    assert set(rows()[section]) == own_keys(model)
    for key, (allowed, default, _) in rows()[section].items():
        assert allowed.strip(), key
        field = model.model_fields[key]
        if field.is_required():
            assert default == "needed", key
        elif isinstance(field.default, schema.Table):
            assert default == "a usual one", key
        elif field.default is None or field.default is PydanticUndefined:
            assert default == "–", key
        else:
            assert tomllib.loads(f"x = {default.strip('`')}")["x"] == field.default, key


@pytest.mark.parametrize("section", SECTIONS)
def test_every_example_is_allowed(section: str) -> None:
    for key, (_, _, example) in rows()[section].items():
        annotation: Any = SECTIONS[section].model_fields[key].annotation
        value = tomllib.loads(f"x = {example}")["x"]
        TypeAdapter(annotation).validate_python(value, strict=True)


def blank_lines() -> Iterator[str]:
    text = (resources.files("tarebook.api") / "blank.toml").read_text(encoding="utf-8")
    return iter(text.splitlines())


def test_the_blank_definition_names_what_a_row_can_be_told() -> None:
    """Each key of these tables stands in the definition that `tarebook start` makes."""
    text = "\n".join(blank_lines())
    for model in (schema.SampleTable, schema.SeriesTable, schema.WeighingTable, schema.RoomTable):
        for key in model.model_fields:
            assert re.search(rf"(?m)^(# ?)*(\[\[?sample\.)?{key}\b", text), key
    assert "read = " in text


def test_the_blank_definition_holds_with_its_comments_taken_in() -> None:
    """What it offers of ways to weigh and pour is no mere comment: it can be used."""
    text = "\n".join(blank_lines())
    for old, new in (
        ("# piece_g = 2.0", "piece_g = 2.0"),
        ('# pieces_in = "halves"', 'pieces_in = "halves"'),
        ("# [weighing]", "[weighing]"),
        ('# tare = "zeroed on the cup"', 'tare = "zeroed on the cup"'),
        ('# sample_in = "holder before and after"', 'sample_in = "holder before and after"'),
        ("# sample_g = [0, 1, 1, 1, 1, 1, 1, 1]", "sample_g = [0, 1, 1, 1, 1, 1, 1, 1]"),
    ):
        assert old in text, old
        text = text.replace(old, new)
    experiment = parse_definition(text)
    assert experiment.planned[0].is_blank
    assert experiment.sample.piece is not None
