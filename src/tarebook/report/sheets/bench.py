"""One bench sheet for each run of each group: targets, boxes, a place for the vessel, a code."""

from __future__ import annotations

from tarebook.records.complete import asked_of, quantity_of
from tarebook.records.readings import Quantity
from tarebook.report.sheets.codes import run_code, square
from tarebook.report.sheets.marks import mark_of_all
from tarebook.report.sheets.setting import Data, Setting, common, compiled, short
from tarebook.series.experiment import PlannedRun, Tare

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
    return common(setting, "bench.title") | {
        "title": short(experiment.title, 80),
        "sheets": [
            _sheet(setting, group, run)
            for group in range(1, setting.prepared.groups + 1)
            for run in experiment.planned
        ],
        "ring": 1000.0 * min(max(diameter, RING[0]), RING[1]),
        "targets": words("bench.targets"),
        "what": words("bench.what"),
        "note": words("bench.note"),
        "exact": words("bench.exact"),
        "goggles": words("bench.goggles"),
        "names": words("bench.by"),
        "code": words("bench.code"),
        **mark_of_all(setting),
    }


def _sheet(setting: Setting, group: int, run: PlannedRun) -> Data:
    experiment, writing = setting.prepared.experiment, setting.writing
    words = writing.words
    start = setting.start_of(group - 1)
    text = run_code(experiment.digest, str(group), run.run, setting.address)
    is_closed = experiment.is_sealed(run.run)
    vessel = words("bench.pressure_vessel") if is_closed else short(experiment.vessel.name)
    return {
        "group": f"{words('sheet.group')} {group}",
        "stand": words("bench.stand", vessel=vessel),
        "run": f"{words('sheet.run')} {short(run.run, 10)}",
        "starts": words("sheet.starts", time=start) if start else "",
        "code": square(text),
        "code-text": text,
        "targets": [
            [short(experiment.diluent), writing.volume(run.diluent, 4)],
            [short(experiment.reagent.name), writing.volume(run.reagent, 4)],
            _sample_target(setting, run),
        ],
        "steps": _steps(setting, run),
        "caution": words("sheet.closed") if is_closed else "",
    }


def sample_target(setting: Setting) -> str:
    """Return the nominal sample mass with as many digits as the balance shows, three at most."""
    return _grams(setting, setting.prepared.experiment.sample.nominal_mass)


def run_sample(setting: Setting, run: PlannedRun) -> str:
    """Return the sample mass that a run asks for, with the digits of `sample_target`."""
    if run.sample == 0:
        return "0\u00a0g"
    return _grams(setting, run.sample)


def portion(setting: Setting, run: PlannedRun) -> str:
    """Return the portion that a run asks for, as a table has it: mass, pieces, or no sample."""
    if run.is_blank:
        return setting.writing.words("bench.no_sample")
    pieces = setting.prepared.experiment.pieces_asked(run.run)
    if pieces is None:
        return run_sample(setting, run)
    return f"{pieces_words(setting, pieces)}, {_about(setting, run)}"


def _about(setting: Setting, run: PlannedRun) -> str:
    """Return the mass of some pieces: two digits, for no two pieces weigh the same."""
    mass = setting.writing.number(run.sample, 2)
    return setting.writing.words("bench.about", mass=f"{mass}\u00a0g")


def _sample_target(setting: Setting, run: PlannedRun) -> list[str]:
    """Return the name of the sample and, in large letters, what of it goes in."""
    name, pieces = (
        short(setting.prepared.experiment.sample.name),
        setting.prepared.experiment.pieces_asked(run.run),
    )
    if run.is_blank or pieces is None:
        return [name, portion(setting, run)]
    return [f"{name}, {_about(setting, run)}", pieces_words(setting, pieces)]


def _grams(setting: Setting, mass: float) -> str:
    readability = setting.prepared.experiment.equipment.sample_balance.readability
    decimals = 3 if readability < 0.01 else 2 if readability < 0.1 else 1
    return f"{setting.writing.fixed(mass, decimals)}\u00a0g"


def pieces_words(setting: Setting, number: float) -> str:
    """Return a number of pieces in words, as in "half a piece"."""
    words, quarters = setting.writing.words, round(4.0 * number)
    if 1 <= quarters <= 4:
        return words(f"bench.piece_{quarters}")
    return words("bench.pieces", number=setting.writing.number(number))


def _steps(setting: Setting, run: PlannedRun) -> list[Data]:
    """Return the steps: what to do, the target beside it, and the box with its unit."""
    experiment, writing = setting.prepared.experiment, setting.writing
    words, vessel = writing.words, short(experiment.vessel.name)
    name, minutes = short(experiment.sample.name), writing.number(experiment.procedure.minutes)
    asked = asked_of(experiment, run.run)
    pours = [quantity for quantity in asked if quantity in _LIQUIDS]
    volumes = {Quantity.DILUENT: run.diluent, Quantity.REAGENT: run.reagent}
    pieces = experiment.pieces_asked(run.run)
    is_closed = experiment.is_sealed(run.run) and not run.is_blank

    def step(key: str, target: str, unit: str, **values: str) -> Data:
        return {"text": words(f"bench.step_{key}", **values), "target": target, "unit": unit}

    def of(quantity: Quantity) -> Data:
        whole = quantity_of(quantity)
        liquid = experiment.diluent if whole is Quantity.DILUENT else experiment.reagent.name
        about = run_sample(setting, run) if pieces is None else _about(setting, run)
        match quantity:
            case Quantity.DILUENT | Quantity.REAGENT:
                key = "pour_first" if quantity is pours[0] else "pour_second"
                return step(key, writing.volume(volumes[quantity], 4), "mL", name=short(liquid))
            case Quantity.DILUENT_START | Quantity.REAGENT_START:
                return step("burette_start", "", "mL", name=short(liquid))
            case Quantity.DILUENT_END | Quantity.REAGENT_END:
                return step("burette_end", writing.volume(volumes[whole], 4), "mL", vessel=vessel)
            case Quantity.PIECES:
                number = pieces or 0.0
                taken = pieces_words(setting, number)
                target, unit = writing.number(number), words("bench.pieces_box")
                return step("pieces", target, unit, pieces=taken, name=name)
            case Quantity.SAMPLE if pieces is not None:
                return step("pieces_mass", about, "g")
            case Quantity.SAMPLE | Quantity.HOLDER_BEFORE:
                key = "sample" if quantity is Quantity.SAMPLE else "holder_before"
                return step(key, about, "g", name=name)
            case Quantity.TEMPERATURE:
                return step("temperature", "", "°C")
            case _:
                key = _KEYS[quantity]
                key += "_closed" if is_closed and quantity in _WITH_CLOSURE else ""
                return step(key, "", quantity.unit, vessel=vessel)

    steps = [of(quantity) for quantity in asked if quantity not in _AFTER]
    if experiment.weighing.tare is Tare.ZEROED:
        steps.insert(0, step("zero", "", words("bench.done_box"), vessel=vessel))
    if run.is_blank:
        steps.append(step("stand", f"{minutes}\u00a0min", "min", minutes=minutes, vessel=vessel))
    elif is_closed:
        steps.append(step("add_closed", "", words("bench.time_box")))
        if Quantity.HOLDER_AFTER in asked:
            steps.append(of(Quantity.HOLDER_AFTER))
        steps.append(step("wait_closed", f"{minutes}\u00a0min", "min", minutes=minutes))
    else:
        steps.append(step("add", "", words("bench.time_box"), vessel=vessel))
        if Quantity.HOLDER_AFTER in asked:
            steps.append(of(Quantity.HOLDER_AFTER))
        steps.append(step("wait", f"{minutes}\u00a0min", "min", minutes=minutes))
    return [*steps, of(Quantity.FINAL)]


_LIQUIDS = (Quantity.DILUENT, Quantity.REAGENT)

_KEYS = {
    Quantity.TARE: "tare",
    Quantity.LIQUID: "liquid",
    Quantity.HOLDER_AFTER: "holder_after",
    Quantity.FINAL: "final",
}

_WITH_CLOSURE = (Quantity.TARE, Quantity.LIQUID, Quantity.FINAL)

_AFTER = (Quantity.HOLDER_AFTER, Quantity.FINAL, Quantity.MINUTES)
"""What is read when the sample is in."""
