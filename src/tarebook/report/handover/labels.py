"""Labels for filled cups: what was found to be in each, and what it will weigh at the end."""

from __future__ import annotations

import datetime as dt
import json

from tarebook.diagnosis.handover import Handover
from tarebook.planning.prepare.gas import gas_danger
from tarebook.planning.prepare.hazards import Classification, classify
from tarebook.records.handling import handling_of
from tarebook.records.readings import Quantity
from tarebook.records.stage import Stage
from tarebook.reduction.poured.results import PouredCup
from tarebook.report import numbers, printing, typeset
from tarebook.report.cup_tables import portion
from tarebook.report.languages.writing import Writing, writing
from tarebook.report.outcome import Outcome
from tarebook.report.printing import PAPER_NAMES, Paper
from tarebook.report.sheets.cautions import rule_of_flame, said_of_gas
from tarebook.report.sheets.codes import run_code, square
from tarebook.report.sheets.pictograms import DRAWN, pictogram
from tarebook.report.sheets.setting import Data, sheet_template, short


def cup_labels(
    outcome: Outcome, handover: Handover, *, paper: Paper = "a4", address: str = ""
) -> bytes:
    """Return the labels of all cups that hold liquid and are not finished, as one PDF.

    Parameters
    ----------
    outcome : Outcome
    handover : Handover
    paper : {"a4", "letter"}
    address : str
        Of the recorder, for the codes; empty for codes without a link.
    """
    day = dt.date.fromisoformat(outcome.made_on) if outcome.made_on else printing.NO_DATE
    inputs = {
        "data": json.dumps(cup_label_data(outcome, handover, paper, address)),
        "pictograms": json.dumps({code: pictogram(code) for code in DRAWN}),
    }
    return printing.pdf(sheet_template("cup-labels"), inputs, day)


def cup_label_data(
    outcome: Outcome, handover: Handover, paper: Paper = "a4", address: str = ""
) -> Data:
    """Return what the labels say."""
    experiment = outcome.experiment
    course = experiment.preparation.course
    how = writing(course.language, paper, course.locale)
    words = how.words
    open_cups = [
        cup for cup in handover.poured.cups if outcome.stage.runs[cup.run] is not Stage.FINISHED
    ]
    classes = {cup.run: _classified(outcome, cup) for cup in open_cups}
    codes = {code for found in classes.values() if found for code in found.pictograms}
    return {
        "title": short(experiment.title, 60),
        "sheet": words("cup_label.title"),
        "course": course.name,
        "when": outcome.made_on,
        "check": words("sheet.check"),
        "gas-stop": said_of_gas(gas_danger(experiment), how),
        "no-flame": rule_of_flame(experiment.reaction.gas, how),
        "made": words("sheet.made", version=outcome.version, digest=experiment.digest[:8].upper()),
        "page": words("sheet.page"),
        "of": words("sheet.of"),
        "invented": f"{words('sheet.invented')}: {experiment.invented}"
        if experiment.invented
        else "",
        "language": words.language,
        "region": how.locale.partition("_")[2].lower(),
        "paper": PAPER_NAMES[paper],
        "picture-names": {code: words(f"pictogram.{code}") for code in sorted(codes)},
        "cups": [
            _label(outcome, handover, cup, classes[cup.run], how)
            | {"code": square(run_code(experiment.digest, outcome.source.group, cup.run, address))}
            for cup in open_cups
        ],
    }


def _label(
    outcome: Outcome,
    handover: Handover,
    cup: PouredCup,
    found: Classification | None,
    how: Writing,
) -> Data:
    words = how.words
    signal = words(f"signal.{found.signal}") if found and found.signal else ""
    filled = _filled(outcome, cup, how)
    return {
        "group": f"{words('sheet.group')} {short(outcome.source.group, 14)}",
        "run": f"{words('sheet.run')} {short(cup.run, 14)}",
        "pictograms": list(found.pictograms) if found else [],
        "signal": signal,
        "lines": [*_contents(outcome, cup, how), *_to_come(outcome, handover, cup, how)],
        "warning": _warning(cup, found, how),
        "filled": filled or words("cup_label.by_hand"),
        "by_hand": not filled,
    }


def _contents(outcome: Outcome, cup: PouredCup, how: Writing) -> list[str]:
    """Return what is in a cup: two volumes, the amount of reagent, the masses."""
    experiment, words, style = outcome.experiment, how.words, how.style
    tare, liquid = (
        outcome.table.mean_of(cup.run, quantity) for quantity in (Quantity.TARE, Quantity.LIQUID)
    )
    decimals = numbers.places(1.0, experiment.equipment.balance.readability) - 1
    masses = words("cup_label.no_mass")
    if tare is not None and liquid is not None:
        shown = (f"{how.fixed(mass, max(decimals, 0))}{style.gap}g" for mass in (tare, liquid))
        masses = words("cup_label.masses", **dict(zip(("tare", "liquid"), shown, strict=True)))
    return [
        words(
            "cup_label.holds",
            volume=numbers.quantity(cup.diluent, style),
            name=short(experiment.diluent, 34),
        ),
        words(
            "cup_label.holds",
            volume=numbers.quantity(cup.reagent, style),
            name=short(experiment.reagent.name, 34),
        ),
        words(
            "cup_label.amount",
            amount=numbers.quantity(cup.amount, style),
            formula=typeset.formula(experiment.reaction.reagent),
            strength=numbers.quantity(cup.concentration, style),
        ),
        masses,
    ]


def _to_come(outcome: Outcome, handover: Handover, cup: PouredCup, how: Writing) -> list[str]:
    words, sample = how.words, outcome.experiment.sample
    coming = handover.to_come.get(cup.run)
    if coming is None:
        return []
    if coming.sample == 0:
        first = words("cup_label.no_sample")
    else:
        weighed = outcome.table.mean_of(cup.run, Quantity.SAMPLE) is not None
        mass = f"{portion(outcome.experiment, coming.sample, how.style)}{how.style.gap}g"
        key = "cup_label.ready" if weighed else "cup_label.to_come"
        first = words(key, sample=mass, name=short(sample.name, 26))
    if coming.final is None:
        return [first]
    decimals = numbers.places(coming.final.value, coming.final.u)
    low, high = (how.fixed(end, decimals) for end in (coming.final.low, coming.final.high))
    return [f"{first}; {words('cup_label.final', low=low, high=high)}"]


def _warning(cup: PouredCup, found: Classification | None, how: Writing) -> str:
    words = how.words
    said = []
    if cup.mass_is_doubtful:
        said.append(words("cup_label.doubtful"))
    elif cup.recovered:
        said.append(words("cup_label.recovered"))
    elif cup.from_plan:
        said.append(words("cup_label.from_plan"))
    if found is not None and not found.known:
        said.append(words("labels.unknown"))
    return "; ".join(said)


def _filled(outcome: Outcome, cup: PouredCup, how: Writing) -> str:
    """Return when a cup was filled, and by whom; empty where the record does not say."""
    of_cup = [r for r in outcome.table.readings if r.run == cup.run]
    steps = handling_of(type(outcome.table)(runs=(cup.run,), readings=tuple(of_cup)))
    step = next((one for one in steps if one.stage is Stage.POURED), None)
    if step is None:
        return ""
    when = f"{how.short_date(step.last.date())}, {how.time(step.last.time())}"
    return how.words("cup_label.filled", when=when, who=", ".join(step.who)).rstrip()


def _classified(outcome: Outcome, cup: PouredCup) -> Classification | None:
    """Return what the reagent does at its strength in a cup; None where there is none in it."""
    experiment = outcome.experiment
    reagent = cup.amount.value * experiment.reaction.reagent_molar_mass.value
    mass = experiment.reagent.density.value * cup.reagent.value + 1000.0 * cup.diluent.value
    if mass <= 0 or not 0 < reagent <= mass or cup.amount.value < LEAST_AMOUNT:
        return None
    return classify(
        experiment.reaction.reagent, 100.0 * reagent / mass, experiment.preparation.confirmed
    )


LEAST_AMOUNT = 1e-6
"""mol; less is what the arithmetic leaves of nothing."""
