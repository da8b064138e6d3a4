"""What docs/stages.md says of stages, findings, keys and columns is what they are."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from tests.poured_rows import LABORATORIES, poured

from tarebook import api
from tarebook.api.reduce_series import reduce_table
from tarebook.records.stage import Stage
from tarebook.report.handover.payload import HEADER
from tarebook.series.definition import parse_definition

PAGE = (Path(__file__).parents[2] / "docs" / "stages.md").read_text(encoding="utf-8")


def keys_of(value: Any) -> set[str]:
    if isinstance(value, dict):
        quantity = {"value", "u", "low", "high", "unit"}
        inner = {} if set(value) == quantity else value
        return set(inner) | {key for part in inner.values() for key in keys_of(part)}
    if isinstance(value, list):
        return {key for part in value for key in keys_of(part)}
    return set()


def test_every_stage_has_its_line() -> None:
    for stage in Stage:
        assert f"| {stage.value} |" in PAGE


def test_every_key_of_the_json_is_named() -> None:
    experiment = parse_definition(LABORATORIES["hydrochloric acid"])
    made = reduce_table(experiment, poured(experiment, 1).table, seed=1, draws=1_000, made_on="")
    told = api.payload(made)
    block = PAGE.partition("## JSON")[2]
    named = set(re.findall(r'"([A-Za-z_]+)"', block))
    keys = keys_of(told["series"]["handover"]) | keys_of(told["runs"][0]["handover"])
    assert keys <= named
    assert {"stage", "furthest_stage", "handover"} <= named & set(told["series"])


def test_every_column_of_the_csv_is_named() -> None:
    ends = ("_u", "_low", "_high")
    plain = {name for name in HEADER if not any(f"{end}_" in f"{name}_" for end in ends)}
    assert {name for name in plain if f"`{name}`" not in PAGE} == set()


def test_every_finding_of_filled_cups_has_its_line() -> None:
    source = Path(__file__).parents[2] / "src/tarebook/diagnosis/handover_findings.py"
    codes = set(re.findall(r'code="([a-z-]+)"', source.read_text(encoding="utf-8")))
    assert codes
    for code in codes:
        assert f"| `{code}` |" in PAGE
