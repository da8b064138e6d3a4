"""One bench sheet for each run of each group: targets, boxes, a place for the vessel, a code."""

from __future__ import annotations

from tarebook.report.sheets.codes import run_code, square
from tarebook.report.sheets.marks import hazard_mark
from tarebook.report.sheets.setting import Data, Setting, common, compiled, short
from tarebook.series.experiment import PlannedRun

RING_GAP = 0.012
"""By which the circle is wider than the vessel's rim, m."""

RING = (0.06, 0.105)
"""Smallest and largest circle, m."""


def bench_sheets(setting: Setting) -> bytes:
    """Return the bench sheets of all groups as one PDF.

    Parameters
    ----------
    setting : Setting
    """
    return compiled(setting, "bench", bench_data(setting))


def bench_data(setting: Setting) -> Data:
    """Return what the bench sheets say."""
    experiment, words = setting.prepared.experiment, setting.writing.words
    diameter = experiment.vessel.opening_diameter + RING_GAP
    stock = next(one for one in setting.prepared.hazards if one.what == "stock")
    return common(setting, "bench.title") | {
        "title": short(experiment.title, 80),
        "sheets": [
            _sheet(setting, group, run)
            for group in range(1, setting.prepared.groups + 1)
            for run in experiment.planned
        ],
        "ring": 1000.0 * min(max(diameter, RING[0]), RING[1]),
        "stand": words("bench.stand", vessel=short(experiment.vessel.name)),
        "targets": words("bench.targets"),
        "what": words("bench.what"),
        "note": words("bench.note"),
        "exact": words("bench.exact"),
        "goggles": words("bench.goggles"),
        "names": words("bench.by"),
        "code": words("bench.code"),
        **hazard_mark(setting, stock),
    }


def _sheet(setting: Setting, group: int, run: PlannedRun) -> Data:
    experiment, writing = setting.prepared.experiment, setting.writing
    words = writing.words
    start = setting.start_of(group - 1)
    text = run_code(experiment.digest, str(group), run.run, setting.address)
    return {
        "group": f"{words('sheet.group')} {group}",
        "run": f"{words('sheet.run')} {short(run.run, 10)}",
        "starts": words("sheet.starts", time=start) if start else "",
        "code": square(text),
        "code-text": text,
        "targets": [
            [short(experiment.diluent), writing.volume(run.diluent, 4)],
            [short(experiment.reagent.name), writing.volume(run.reagent, 4)],
            [short(experiment.sample.name), run_sample(setting, run)],
        ],
        "steps": _steps(setting, run),
    }


def sample_target(setting: Setting) -> str:
    """Return the nominal sample mass with as many digits as the balance shows, three at most."""
    return _grams(setting, setting.prepared.experiment.sample.nominal_mass)


def run_sample(setting: Setting, run: PlannedRun) -> str:
    """Return the sample mass that a run asks for, with the digits of `sample_target`."""
    return _grams(setting, run.sample)


def _grams(setting: Setting, mass: float) -> str:
    readability = setting.prepared.experiment.equipment.sample_balance.readability
    decimals = 3 if readability < 0.01 else 2 if readability < 0.1 else 1
    return f"{setting.writing.fixed(mass, decimals)}\u00a0g"


def _steps(setting: Setting, run: PlannedRun) -> list[Data]:
    """Return the steps: what to do, the target beside it, and the box with its unit."""
    experiment, writing = setting.prepared.experiment, setting.writing
    words, vessel = writing.words, short(experiment.vessel.name)
    minutes = writing.number(experiment.procedure.minutes)

    def step(key: str, target: str, unit: str, **values: str) -> Data:
        return {"text": words(f"bench.step_{key}", **values), "target": target, "unit": unit}

    clock = words("bench.time_box")
    # The diluent goes in first: acid into water, never water into acid.
    liquids = ((experiment.diluent, run.diluent), (experiment.reagent.name, run.reagent))
    pours = [
        step(f"pour_{place}", writing.volume(volume, 4), "mL", name=short(name))
        for place, (name, volume) in zip(
            ("first", "second"), [one for one in liquids if one[1] > 0], strict=False
        )
    ]
    return [
        step("tare", "", "g", vessel=vessel),
        *pours,
        # The thermometer takes drops away with it: it goes in before the liquid is weighed.
        step("temperature", "", "°C"),
        step("liquid", "", "g", vessel=vessel),
        step("sample", run_sample(setting, run), "g", name=short(experiment.sample.name)),
        step("add", "", clock, vessel=vessel),
        step("wait", f"{minutes}\u00a0min", "min", minutes=minutes),
        step("final", "", "g", vessel=vessel),
    ]
