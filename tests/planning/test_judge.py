"""Each rule of the judge, and that its remedies do what they say."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.core.phrase import Phrase
from tarebook.findings.finding import Finding, Severity
from tarebook.measurement.instruments import balance, volume_instrument
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
from tarebook.planning.judge import faults
from tarebook.planning.remedies import Judged, Remedy, RemedyKind, with_remedies, works
from tarebook.planning.rows import Best
from tarebook.report.languages.writing import in_files
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

LABORATORIES = Path(__file__).parents[1] / "laboratories"


def judged(experiment: Experiment) -> Judged:
    contents = content_range(experiment)
    return with_remedies(experiment, contents, Best.CONTENT, faults(experiment, contents))


def found(experiment: Experiment) -> dict[str, Finding]:
    return {finding.code: finding for finding in judged(experiment).findings}


def remedy_of(experiment: Experiment, code: str, kind: RemedyKind) -> Remedy:
    return next(one for one in judged(experiment).remedies[code] if one.kind is kind)


def volumes_mL(several: object) -> list[float]:  # noqa: N802 - the unit is part of the name
    """Return the volumes that a finding names one by one."""
    assert isinstance(several, tuple)
    volumes = [each.values["volume_mL"] for each in several if isinstance(each, Phrase)]
    assert all(isinstance(volume, float) for volume in volumes)
    return [round(volume, 6) for volume in volumes if isinstance(volume, float)]


def test_examples_work(pool: Experiment, bath: Experiment) -> None:
    for experiment in (pool, bath):
        assert {finding.severity for finding in found(experiment).values()} == {Severity.NOTE}


def test_stock_too_weak(pool: Experiment) -> None:
    weak = with_stock(pool, 0.3)
    finding = found(weak)["change-over-outside"]
    assert finding.severity is Severity.STOP
    assert (finding.values["side"], finding.values["limits"]) == ("beyond", "reagent")
    assert finding.values["end"] == Phrase.of("plan-volume", volume_mL=35.0)
    remedies = judged(weak).remedies["change-over-outside"]
    assert {remedy.kind for remedy in remedies} == {RemedyKind.STOCK, RemedyKind.SAMPLE}
    for remedy in remedies:
        change = with_stock if remedy.kind is RemedyKind.STOCK else with_sample
        assert works(change(weak, remedy.value), content_range(weak), "change-over-outside")
        assert 0.005 < remedy.equivalence < 0.035
        assert remedy.value in remedy.use.values.values()
    ways = tuple(remedy.use for remedy in remedies)
    assert finding.do == Phrase.of("remedy-any", n=2, ways=ways)


def test_stock_too_strong_for_the_row(pool: Experiment) -> None:
    short = with_row(with_stock(pool, 1.2), np.linspace(0.02, 0.03, 6))
    values = found(short)["change-over-outside"].values
    assert (values["side"], values["limits"]) == ("before", "sample")
    assert values["end"] == Phrase.of("plan-volume", volume_mL=20.0)
    assert remedy_of(short, "change-over-outside", RemedyKind.ROW).value > 0


def test_change_over_near_the_edge(pool: Experiment) -> None:
    finding = found(with_stock(pool, 0.55))["change-over-near-edge"]
    assert finding.severity is Severity.LOOK
    assert (finding.values["few"], finding.values["there"]) == (1, Phrase("side-beyond"))


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (
            (0.005, 0.011, 0.017, 0.023, 0.0235),
            "For the highest contents the reagent would be the limiting reactant",
        ),
        (
            (0.021, 0.0225, 0.028, 0.033, 0.038),
            "For the lowest contents the sample would be the limiting reactant",
        ),
    ],
)
def test_a_side_without_any_cup_is_said_in_words(
    pool: Experiment, row: tuple[float, ...], said: str
) -> None:
    """Never "only 0 of the cups"."""
    experiment = with_row(pool, np.array(row))
    finding = found(experiment)["change-over-near-edge"]
    assert 0.0 in (finding.evidence["runs_before"], finding.evidence["runs_after"])
    message = in_files().say(finding.phrase)
    assert said in message
    assert " 0 of the cups" not in message


@pytest.mark.slow
def test_sample_below_what_the_balance_can_weigh(pool: Experiment) -> None:
    coarse = balance(0.1)
    code, on_coarse = "sample-too-small-for-balance", with_balances(pool, main=coarse, own=coarse)
    finding = found(on_coarse)[code]
    assert finding.severity == "stop"
    assert finding.evidence["least_for_5_percent_g"] == pytest.approx(4.0)
    other = balance(remedy_of(on_coarse, code, RemedyKind.BALANCE).value)
    mended = with_balances(pool, main=other, own=other)
    assert code not in found(mended)


@pytest.mark.slow
def test_loss_below_what_the_balance_resolves(pool: Experiment) -> None:
    coarse = balance(0.1)
    findings = found(with_balances(pool, main=coarse))
    assert findings["mass-lost-too-small"].severity == "stop"
    assert "sample-too-small-for-balance" not in findings


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "severity"),
    [("magnesium-turnings-in-acid", "stop"), ("zinc-filings-in-acid", "stop"), ("cold-room", "")],
)
def test_water_that_rivals_the_gas(name: str, severity: str) -> None:
    """A metal heats its cup: the hydrogen weighs less than the water that leaves with it."""
    path = LABORATORIES / name / "experiment.toml"
    findings = found(parse_definition(path.read_text(encoding="utf-8")))
    if not severity:
        assert "water-rivals-gas" not in findings
        return
    finding = findings["water-rivals-gas"]
    assert finding.severity == severity
    assert float(finding.evidence["water_over_gas"]) > 1.0


def test_water_rivals_the_gas_less_if_weighed_at_once() -> None:
    path = LABORATORIES / "zinc-filings-in-acid" / "experiment.toml"
    text = path.read_text(encoding="utf-8")
    assert "minutes = 20" in text
    sooner = parse_definition(text.replace("minutes = 20", "minutes = 2"))
    assert found(sooner)["water-rivals-gas"].severity == "look"


def test_vessel_that_foams_over(pool: Experiment) -> None:
    small, code = with_vessel(pool, 0.06), "vessel-foams-over"
    assert found(small)[code].severity == "stop"
    larger = remedy_of(small, code, RemedyKind.VESSEL)
    assert code not in found(with_vessel(pool, larger.value))
    less = remedy_of(small, code, RemedyKind.SAMPLE)
    assert less.value < pool.sample.nominal_mass


def test_vessel_that_may_foam_over_is_a_caution_only(pool: Experiment) -> None:
    assert found(with_vessel(pool, 0.1))["vessel-foams-over"].severity == "look"


def test_vessel_rather_full(pool: Experiment) -> None:
    small = with_sample(with_vessel(pool, 0.07), 0.3)
    assert found(small)["vessel-rather-full"].severity == "look"


def test_sample_that_does_not_dissolve(pool: Experiment) -> None:
    """9.6 g in 100 g of water: 20 mL hold 1.92 g, and the first cup leaves more than that."""
    total = with_total(with_row(pool, np.linspace(0.002, 0.01, 8)), 0.02)
    much = with_sample(with_stock(total, 1.0), 2.3)
    finding = found(much)["sample-does-not-dissolve"]
    assert finding.severity == "stop"
    assert all(remedy.value < 2.3 for remedy in judged(much).remedies[finding.code])
    assert finding.evidence["holds_g"] == pytest.approx(1.92)


def test_volume_that_cannot_be_read(pool: Experiment) -> None:
    row = np.array([0.005, 0.01, 0.01437, 0.018, 0.022, 0.026, 0.03, 0.035])
    changed = with_row(pool, row)
    findings = faults(changed, content_range(changed))
    said = {a.values["liquid"]: a for a in findings if a.code == "volume-not-readable"}
    reagent, diluent = (said[Phrase(f"liquid-{liquid}")] for liquid in ("reagent", "diluent"))
    assert volumes_mL(reagent.values["volumes"]) == [14.37]
    assert volumes_mL(diluent.values["volumes"]) == [25.63]
    assert volumes_mL(reagent.values["nearest"]) == [14.4]
    assert {finding.severity for finding in said.values()} == {Severity.LOOK}


def test_volume_that_a_pipette_cannot_give_stops(pool: Experiment) -> None:
    pipette = volume_instrument("transfer pipette", 0.005, grade="A")
    finding = found(with_ware(pool, reagent=pipette))["volume-not-readable"]
    assert finding.severity == "stop"
    assert volumes_mL(finding.values["volumes"]) == [14, 18, 22, 26]
    assert "14, 18, 22 and 26 mL" in in_files().say(finding.phrase)


def test_ware_filled_twice(pool: Experiment) -> None:
    small = volume_instrument("graduated cylinder", 0.025, grade="A")
    filled = found(with_ware(pool, reagent=small))["ware-filled-twice"]
    assert filled.evidence["volume_mL"] == pytest.approx(35.0)
    assert (filled.values["liquid"], filled.values["times"]) == (Phrase("liquid-reagent"), 2)


def test_balance_overloaded(pool: Experiment) -> None:
    light = replace(pool.equipment.balance, capacity=40.0)
    assert found(with_balances(pool, main=light))["balance-overloaded"].severity == "stop"


def test_too_few_runs(pool: Experiment) -> None:
    assert found(with_row(pool, [0.01, 0.02, 0.03]))["too-few-runs"].severity == "stop"


def test_strength_without_uncertainty(pool: Experiment) -> None:
    unsure = replace(pool, reagent=replace(pool.reagent, strength_is_sure=False))
    assert found(unsure)["strength-not-sure"].severity == "look"


def test_nothing_claimed_widens_the_range(pool: Experiment, unclaimed: Experiment) -> None:
    assert found(unclaimed)["content-unknown"].severity == "note"
    wide, narrow = content_range(unclaimed), content_range(pool)
    assert (wide.low, wide.high) == (0.6, 1.0)
    assert narrow.low == pytest.approx(0.855)
    assert narrow.high == 1.0


@pytest.mark.slow
def test_a_stop_that_only_a_caution_replaces_is_mended_by_that(pool: Experiment) -> None:
    """On a 0.01 g balance no mass that the row can hold is known to 1 %, but some are to 5 %."""
    coarse = balance(0.01)
    tiny = with_sample(with_balances(pool, main=coarse, own=coarse), 0.01)
    finding = found(tiny)["sample-too-small-for-balance"]
    assert finding.severity == "stop"
    (remedy,) = judged(tiny).remedies[finding.code]
    assert remedy.kind is RemedyKind.SAMPLE
    assert 0.02 / remedy.value <= 0.05
    assert remedy.use.values["sample_g"] == remedy.value


def test_a_cup_without_reagent_tells_the_acid_of_the_sample() -> None:
    """The fizzing tablet has such a cup; one of unknown acid without it is told to plan one."""
    folder = Path(__file__).parents[2] / "examples" / "fizzing-tablet-hand-soak"
    text = (folder / "experiment.toml").read_text(encoding="utf-8")
    unknown = text.replace("mass_fraction = 0.20\nu_mass_fraction = 0.006\n", "")
    assert unknown != text
    for definition, cup, bare in (
        (text, "there", "1"),
        (unknown.replace("reagent_mL = [0, 4,", "reagent_mL = [2, 4,"), "missing", None),
    ):
        one = parse_definition(definition)
        found = faults(one, content_range(one))
        (note,) = [finding for finding in found if finding.code == "acid-of-the-sample"]
        assert note.severity == "note"
        assert (note.values["cup"], note.values.get("bare")) == (cup, bare)
