"""Everything that planning can say, in every language, from plans that provoke it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from importlib import resources
from pathlib import Path
from typing import cast

import numpy as np
import pytest
from tests.words import messages

import tarebook.planning
from tarebook.api.write_sheets import FOR_STUDENTS
from tarebook.core.errors import OutOfRangeError
from tarebook.core.phrase import Phrase, Value
from tarebook.core.tables import reference_table
from tarebook.findings.finding import Finding, Severity
from tarebook.measurement.instruments import balance, volume_instrument
from tarebook.measurement.volumes import VolumeKind
from tarebook.planning.changes import (
    with_balances,
    with_row,
    with_sample,
    with_stock,
    with_total,
    with_vessel,
    with_ware,
)
from tarebook.planning.contents import content_range
from tarebook.planning.feasible import beyond, granted
from tarebook.planning.judge import faults
from tarebook.planning.plan import judged
from tarebook.planning.refusals import ImpossibleWishError, PlanBeyondModelError
from tarebook.planning.rows import Best
from tarebook.planning.rules_content import content_unsure
from tarebook.planning.rules_gas import CODES, gas_findings
from tarebook.planning.variants import upgrades, variants
from tarebook.planning.wishes import Wishes
from tarebook.report.languages.writing import Writing, in_files, writing
from tarebook.report.noticed import message, to_do
from tarebook.report.refusal_words import number_typed, refusal_in_words
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment, Piece

ROOT = Path(__file__).parents[2]
BLANK = (resources.files("tarebook.api") / "blank.toml").read_text(encoding="utf-8")
LANGUAGES = {"en": in_files(), "de": writing("de"), "es": writing("es")}


@cache
def text_of(name: str) -> str:
    places = (ROOT / "examples", ROOT / "tests" / "laboratories", ROOT / "tests" / "snapshots")
    path = next(p for place in places if (p := place / name / "experiment.toml").exists())
    return path.read_text(encoding="utf-8")


@cache
def of(name: str) -> Experiment:
    return parse_definition(text_of(name))


POOL = of("clean-pool-granules")


def row(*volumes: float) -> Experiment:
    return with_row(POOL, np.array(volumes) / 1000.0)


def blank(equation: str, sample: str, reagent: str, gas: str, more: str = "") -> Experiment:
    text = BLANK.replace("NaHCO3 + HCl -> NaCl + H2O + CO2", equation)
    for key, old, new in (
        ("sample", "NaHCO3", sample),
        ("reagent", "HCl", reagent),
        ("gas", "CO2", gas),
    ):
        text = text.replace(f'{key} = "{old}"', f'{key} = "{new}"')
    bought = f'\n[prepare.bought]\nname = "bought"\nsolid = "{reagent}"\n'
    return parse_definition(text + bought + more)


DECIDED = '\n[prepare.gas_decision]\nby = "A. Muster"\non = 2027-02-20\nwhy = "fume hood"\n'
CLOSED = '\n[weighing]\nsealed_runs = ["7", "8"]\nsealed_vessel_rated_kPa = 600\n'
SULFITE = ("Na2SO3 + 2 HCl -> 2 NaCl + H2O + SO2", "Na2SO3", "HCl", "SO2")
LITHIUM = ("Li2CO3 + 2 HCl -> 2 LiCl + H2O + CO2", "Li2CO3", "HCl", "CO2")
THIOCYANATE = ("KSCN + 2 HCl + H2O -> KCl + NH4Cl + COS", "KSCN", "HCl", "COS")


def coarse(step: float, experiment: Experiment = POOL) -> Experiment:
    return with_balances(experiment, main=balance(step), own=balance(step))


def with_much() -> Experiment:
    low = with_total(with_row(POOL, np.linspace(0.002, 0.01, 8)), 0.02)
    return with_sample(with_stock(low, 1.0), 2.3)


def acid_nobody_knows() -> Experiment:
    text = text_of("fizzing-tablet-hand-soak")
    text = text.replace("mass_fraction = 0.20\nu_mass_fraction = 0.006\n", "")
    return parse_definition(text.replace("reagent_mL = [0, 4,", "reagent_mL = [2, 4,"))


def looked_at() -> Iterator[Experiment]:
    """Yield rows at which the rules find something; with `remedies` what would mend them."""
    soda = of("soda-grows-in-acid")
    nominal = soda.sample.nominal_mass
    yield from (with_sample(soda, part * nominal) for part in (0.2, 0.75, 1.3, 5.0))
    yield row(5, 11, 17, 23, 23.5)
    yield row(21, 22.5, 28, 33, 38)
    yield with_stock(POOL, 0.55)
    yield row(5)
    yield row(5, 10, 14.37, 18, 22, 26, 30, 35)
    yield with_ware(POOL, reagent=volume_instrument("transfer pipette", 0.005, grade="A"))
    yield with_ware(POOL, reagent=volume_instrument("graduated cylinder", 0.025, grade="A"))
    yield with_ware(POOL, reagent=volume_instrument("graduated cylinder", 0.01, grade="A"))
    yield with_balances(POOL, main=balance(0.1))
    yield coarse(0.1)
    yield with_vessel(POOL, 0.06)
    yield with_sample(with_vessel(POOL, 0.07), 0.3)
    yield with_much()
    yield with_balances(POOL, main=replace(POOL.equipment.balance, capacity=40.0))
    yield replace(POOL, reagent=replace(POOL.reagent, strength_is_sure=False))
    yield replace(POOL, sample=replace(POOL.sample, claimed_mass_fraction=None))
    yield of("fizzing-tablet-hand-soak")
    yield acid_nobody_knows()
    yield of("magnesium-turnings-in-acid")
    yield parse_definition(text_of("zinc-filings-in-acid").replace("minutes = 20", "minutes = 2"))
    yield blank(*LITHIUM)


@cache
def mended() -> tuple[Finding, ...]:
    """Return what is found of rows for which it is looked for what would mend them."""
    rows = (
        with_stock(POOL, 0.3),
        with_row(with_stock(POOL, 1.2), np.linspace(0.02, 0.03, 6)),
        with_vessel(POOL, 0.06),
        with_sample(coarse(0.01), 0.01),
        coarse(0.1),
    )
    return tuple(finding for one in rows for finding in judged(one, content_range(one)).findings)


def unsure() -> Iterator[Experiment]:
    magnesium = of("magnesium-turnings-in-acid")
    yield with_sample(coarse(0.01, magnesium), 0.1)
    yield with_sample(coarse(0.01), 0.5)


def gases() -> Iterator[Finding]:
    yield from gas_findings(blank(*SULFITE))
    yield from gas_findings(blank(*SULFITE, more=DECIDED), 30)
    yield from gas_findings(blank(*THIOCYANATE))
    yield from gas_findings(blank("Mg + 2 HCl -> MgCl2 + H2", "Mg", "HCl", "H2"))
    yield from gas_findings(blank("Cu + 2 H2SO4 -> CuSO4 + 2 H2O + SO2", "Cu", "H2SO4", "SO2"))
    yield from gas_findings(parse_definition(BLANK), 548)
    yield from gas_findings(parse_definition(text_of("pool") + CLOSED))
    yield from gas_findings(parse_definition(text_of("pool") + CLOSED.replace('"7", ', "")))


@cache
def everything() -> tuple[Finding, ...]:
    """Return what planning finds in all of these rows."""
    found = list(gases())
    for one in looked_at():
        found += faults(one, content_range(one))
    for one in unsure():
        found += content_unsure(one, content_range(one))
    found += mended()
    error = OutOfRangeError("ionic strength", 7.5, "mol/kg", "[0, 6]")
    for because in (beyond(error), beyond(OutOfRangeError("water", -1.0, "g", "[0, 1]"))):
        values = {"because": cast(Value, because)}
        found.append(Finding(code="row-beyond-model", severity=Severity.STOP, values=values))
    return tuple(found)


def codes_of_planning() -> set[str]:
    """Return every code that stands in a call of `Finding` in planning, and those of gases."""
    (top,) = tarebook.planning.__path__
    found: set[str] = {*CODES.values()}
    for source in sorted(Path(top).rglob("*.py")):
        for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "Finding":
                (code,) = (one.value for one in node.keywords if one.arg == "code")
                if isinstance(code, ast.Constant):
                    found.add(str(code.value))
    return found


def test_every_code_of_planning_is_provoked() -> None:
    codes = codes_of_planning()
    assert len(codes) > 20
    assert codes <= {finding.code for finding in everything()}


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_finding_of_planning_is_said(language: str) -> None:
    how, said = LANGUAGES[language], {}
    for finding in everything():
        said[message(finding, how)] = finding.code
        assert finding.do is None or to_do(finding, how)
    for text in said:
        assert re.search(r"[.!?]$", text), text
        assert not re.search(r"[{}]|\bnone\b|\d\.\d{7}", text), text
    assert len(said) > len(set(said.values()))


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_stop_of_a_judged_row_says_what_to_do(language: str) -> None:
    assert any(finding.severity is Severity.STOP for finding in mended())
    for finding in mended():
        assert to_do(finding, LANGUAGES[language])


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_would_be_better_and_what_if_are_said(language: str) -> None:
    how = LANGUAGES[language]
    plain = with_ware(POOL, diluent=volume_instrument("graduated pipette", 0.025))
    for one in (POOL, with_balances(POOL, own=balance(0.01)), plain):
        contents = content_range(one)
        better = [how.say(each.what) for each in upgrades(one, contents, Best.CONTENT)]
        other = [how.say(each.what) for each in variants(one, contents)]
        assert len(set(better)) == len(better) > 2
        assert len(set(other)) == len(other) > 8


@cache
def refusals() -> tuple[ImpossibleWishError, ...]:
    pieces = Piece(mass=1.6, part=0.5)
    tablets = replace(POOL, sample=replace(POOL.sample, piece=pieces, nominal_mass=1.6))
    vinegar = of("baking-soda-and-vinegar")
    asked: tuple[tuple[Experiment, Wishes], ...] = (
        (POOL, Wishes(n_runs=2)),
        (POOL, Wishes(n_runs=80)),
        (POOL, Wishes(stock=-1.0)),
        (POOL, Wishes(total_volume=float("inf"))),
        (POOL, Wishes(sample_mass=float("nan"))),
        (POOL, Wishes(stock=0.1)),
        (POOL, Wishes(sample_mass=0.01)),
        (POOL, Wishes(total_volume=0.3)),
        (POOL, Wishes(total_volume=0.15)),
        (POOL, Wishes(stock=15.0)),
        (POOL, Wishes(stock=1e-4)),
        (vinegar, Wishes(stock=1.0)),
        (with_sample(tablets, 1.6), Wishes(sample_mass=1.0)),
        (with_balances(POOL, own=balance(0.01)), Wishes(sample_mass=1.505)),
        (of("soda-grows-in-acid"), Wishes(stock=0.5)),
    )
    return tuple(refused(experiment, wishes) for experiment, wishes in asked)


def refused(experiment: Experiment, wishes: Wishes) -> ImpossibleWishError:
    with pytest.raises(ImpossibleWishError) as caught:
        granted(experiment, wishes)
    return caught.value


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_refusal_is_said(language: str) -> None:
    how, seen = LANGUAGES[language], set()
    for error in refusals():
        text = refusal_in_words(error, number_typed, how)
        assert text.endswith(".")
        assert "{" not in text
        seen.add(error.because.key)
    own = {key for key in messages(language) if key.startswith("refusal-")}
    frame = {"wish", "row", "instead", "nothing-near", "ask-for-less"}
    # These follow from what the model raises and from a bottle without a name.
    rare = {"beyond-model", "no-room-for-water", "model-ends", "stronger-than-bought"}
    assert own - seen <= {f"refusal-{name}" for name in frame | rare}


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_row_beyond_the_model_is_said(language: str) -> None:
    how = LANGUAGES[language]
    because = beyond(OutOfRangeError("temperature", 54.0, "1", "[0, 40]"))
    for runs in ((), ("8",), ("7", "8")):
        error = PlanBeyondModelError(because, None, gas_findings(blank(*SULFITE)), runs)
        text = refusal_in_words(error, number_typed, how)
        assert "SO2" in text
        assert all(run in text for run in runs)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_member_of_a_set_has_a_name(language: str) -> None:
    how = LANGUAGES[language]
    table = reference_table("tarebook.planning", "hazards")["gases"]
    assert len(table) > 20
    names = [f"gas-{row['name'].replace(' ', '_')}" for row in table]
    names += [f"ware-{kind.value.replace(' ', '_')}" for kind in VolumeKind]
    names += [f"side-{side}" for side in ("beyond", "before", "smaller", "larger")]
    assert all(how.say(Phrase.of(name, size="")) for name in names)


def said_before_printing(how: Writing) -> list[str]:
    times: dict[str, Value] = {"end_min": 95.0, "lesson_min": 90.0, "wait_min": 3.2}
    more: dict[str, Value] = {"balances": 3, "end_then_min": 80.0, "least_min": 92.0}
    ends = ("fits", "balances", "alone", "long")
    notes = [Phrase(f"note-time-{end}", times | more) for end in ends]
    notes.append(Phrase.of("note-withheld", files=FOR_STUDENTS))
    notes.append(Phrase.of("note-hazards-unverified", rows=("HCl", "NaHCO3")))
    notes += [Phrase("note-room-assumed"), Phrase("caution-always"), Phrase("only-rated")]
    return [how.say(note) for note in notes]


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_is_said_before_printing(language: str) -> None:
    said = said_before_printing(LANGUAGES[language])
    assert all(text.endswith(".") for text in said)
    assert len(set(said)) == len(said)
