"""The outputs for readers: page, terminal and paper, gathered line by line."""

from __future__ import annotations

import re
from collections.abc import Iterator

from scripts.one_voice.lines import BEHIND, Found, Line, find, line
from scripts.one_voice.outputs import Outputs

from tarebook.report import model_words, typeset
from tarebook.report.derivation_lines import Step
from tarebook.report.equipment import Table
from tarebook.report.facts import Fact


def of_text(out: Outputs, where: str) -> Found:
    """Return the numbers of page, terminal or paper.

    Parameters
    ----------
    out : Outputs
    where : str
        A key of its texts.
    """
    lines = tuple(_everywhere(out))
    if where == "terminal":
        lines += tuple(_on_terminal(out))
    else:
        lines += tuple(_at_length(out, where))
    return find(lines, out.texts[where], where)


def _everywhere(out: Outputs) -> Iterator[Line]:
    story, model = out.story, out.story.model
    yield _answer(out)
    if story.claim:
        yield line(story.claim, _claim(_main(out)))
    for sentence in (story.second_way, story.warning, story.caveat, story.method, *story.not_used):
        yield line(sentence)
    for fact in story.facts:
        yield line(fact.value, _of_fact(fact, out), start=f"{fact.label} ")
        yield line(fact.note, _of_note(fact, out))
    for said in story.findings:
        yield line(said.message)
        yield line(said.do)
        yield line(said.evidence)
    for table in story.runs:
        yield from _of_runs(out, table)
    for table in story.open_cups:
        yield from _rows(table)
    if model is None:
        return
    yield line(model.usual, _both("usual: content, %") if out.outcome.usual.series else {})
    yield line(model.fit, {0: "full: chi2", 1: "full: dof", 2: "full: p of chi2, %"})
    for lesson in model.lessons:
        yield line(lesson)
    if model.residuals is not None:
        yield from _rows(model.residuals)


def _on_terminal(out: Outputs) -> Iterator[Line]:
    story, model = out.story, out.story.model
    if story.headline:
        yield line(f"95 % interval: {story.headline.interval}", _ends(_main(out), 1), only=True)
    for fact in story.facts:
        if fact.interval:
            ends = _ends_of_fact(fact, out)
            yield line(f"95 %: {fact.interval}; {fact.note}", ends, only=True)
    for share in story.budget:
        yield _share(share.source, share.text)
    if model is not None:
        for drop in model.waterfall:
            yield line(drop.shown, {0: _drop(drop)}, start=f"{drop.label} ")
        yield from _of_parameters(model.parameters, 4)


def _at_length(out: Outputs, where: str) -> Iterator[Line]:
    """Yield what page and paper have and the terminal has no room for."""
    story, model = out.story, out.story.model
    head = story.headline
    if head:
        names = {**_both(_main(out)), **_ends(_main(out), 3)}
        yield line(f"{head.value} ± {head.u} {head.unit} 95 % interval: {head.interval}", names)
    for fact in story.facts:
        if fact.interval:
            ends = _ends_of_fact(fact, out)
            yield line(f"95 %: {fact.interval} {fact.note}", ends, only=True)
    for step in (*story.steps, *(model.steps if model else ())):
        yield line(step.worked, result_of(step, out))
    for table in (story.readings, story.instruments, story.constants):
        yield from _rows(table)
    if story.budget:
        yield _bars([share.source for share in story.budget],
                    [share.text for share in story.budget],
                    [_share_name(share.source) for share in story.budget])  # fmt: skip
    if model is not None:
        yield from _of_parameters(model.parameters, 5)
        if model.waterfall:
            yield _bars([drop.label for drop in model.waterfall],
                        [drop.shown for drop in model.waterfall],
                        [_drop(drop) for drop in model.waterfall])  # fmt: skip
    if where == "page":
        yield line(story.curve_alt, _of_curve(out), only=True)


def _equivalence(which: str, out: Outputs) -> str:
    """Return the name of the equivalence point: along what grows."""
    unit = "mL" if out.outcome.experiment.grows == "reagent" else "g"
    return f"{which}: equivalence, {unit}"


def _main(out: Outputs) -> str:
    return "full: content, %" if out.outcome.full.series else "usual: content, %"


def _both(name: str, at: int = 0) -> dict[int, str]:
    return {at: name, at + 1: f"u of {name}"}


def _ends(name: str, at: int) -> dict[int, str]:
    return {at: f"low of {name}", at + 1: f"high of {name}"}


def _answer(out: Outputs) -> Line:
    stated = out.outcome.series is not None
    return line(out.story.answer, _both(_main(out)) if stated else {})


def _claim(main: str) -> dict[int, str]:
    which = main.partition(":")[0]
    return {
        **_both("label: content, %"),
        2: f"{which}: apart from the label, %",
        3: f"{which}: apart from the label, u",
    }


def _of_fact(fact: Fact, out: Outputs) -> dict[int, str]:
    """Return what the value of a fact is: told by its place."""
    name = _fact_name(fact, out)
    if not name and out.outcome.full.series is not None:
        return {0: "least held back, g", 1: "most held back, g"}
    return _both(name) if name else {}


def _fact_name(fact: Fact, out: Outputs) -> str:
    place = out.story.facts.index(fact)
    full, usual = out.outcome.full.series, out.outcome.usual.series
    if full is None:
        return (_equivalence("usual", out), "usual: second content, %", "")[place]
    return (*(["usual: content, %"] if usual else []), _equivalence("full", out), "")[place]


def _of_note(fact: Fact, out: Outputs) -> dict[int, str]:
    """Return what the numbers behind a fact are: at its end, the same by the lines."""
    beside = {
        "usual: content, %": "usual: second content, %",
        _equivalence("full", out): _equivalence("usual", out),
    }.get(_fact_name(fact, out), "")
    if not beside or out.outcome.usual.series is None:
        return {}
    return _both(beside, len(line(fact.note).names) - 2)


def _of_curve(out: Outputs) -> dict[int, str]:
    """Return what stands in the words for the curve: how many runs, then level and equivalence."""
    names: dict[int, str] = {}
    for which, series in (("full", out.outcome.full.series), ("usual", out.outcome.usual.series)):
        if series is not None:
            at = 2 + 3 * (len(names) > 0)
            names |= _both(_equivalence(which, out), at)
    return names


_RESULTS = {
    "Amount of reagent": "run {}, textbook: reagent, mmol",
    "Gas found": "run {}: mass lost, g",
    "Content from the plateau": "usual: content, %",
    "Content from the slope": "usual: content, %",
    "Content from the equivalence point": "usual: second content, %",
    "Gas made": "run {}: gas made, g",
    "One fit for the row": "full: content, %",
}
"""What a step ends with: value and u."""


def result_of(step: Step, out: Outputs) -> dict[int, str]:
    """Return what the last numbers of a step are, by their places.

    Parameters
    ----------
    step : Step
    out : Outputs
    """
    worked = re.match(r"run (.*?): ", step.worked)
    run = worked[1] if worked else ""
    many = len(line(step.worked).names)
    if step.name == "Limiting reactant and yield" and "no yield" not in step.worked:
        expected, found = (f"run {run}, textbook: {q}" for q in ("gas expected, g", "yield, %"))
        return _both(expected, many - 4) | _both(found, many - 2)
    if step.name == "Equivalence point":
        return _both(_equivalence("usual", out), many - 2)
    name = _RESULTS.get(step.name)
    return _both(name.format(run), many - 2) if name else {}


def _ends_of_fact(fact: Fact, out: Outputs) -> dict[int, str]:
    name = _fact_name(fact, out)
    # Before them comes the 95 of 95 %.
    return _ends(name, 1) if name and fact.interval else {}


def _of_runs(out: Outputs, table: Table) -> Iterator[Line]:
    """Yield the rows of a table of runs, each number by the name that the JSON has for it."""
    by_model = out.outcome.full.series is not None
    columns = _columns(out, table)
    for row in table.rows:
        run = row[0].rstrip("*")
        names: dict[int, str] = {}
        for cell, name in zip(row[1:], columns, strict=True):
            own = by_model or name == "mass lost, g"
            whole = f"run {run}{'' if own else ', textbook'}: {name}"
            for words in ("", "u of ")[: len(line(cell).names)]:
                names[len(names)] = words + whole if name else ""
        yield line(" ".join(row[1:]), names, start=f"{row[0]} ")


def _columns(out: Outputs, table: Table) -> list[str]:
    reaction = out.outcome.experiment.reaction
    reagent, analyte, gas = (
        typeset.formula(text) for text in (reaction.reagent, reaction.analyte, reaction.gas)
    )
    names = {
        f"{reagent} mmol": "reagent, mmol",
        f"{analyte} mmol": "sample, mmol",
        "limits": "",
        "chance %": "chance, %",
        "pH": "pH",
        "mass lost g": "mass lost, g",
        f"{gas} found g": "mass lost, g",
        "held back g": "held back, g",
        f"{gas} made g": "gas made, g",
        f"{gas} expected g": "gas expected, g",
        "yield %": "yield, %",
    }
    return [names[" ".join(head.split())] for head in table.columns[1:]]


def _rows(table: Table) -> Iterator[Line]:
    """Yield the rows of a table whose numbers no other kind of output has."""
    for row in table.rows:
        yield line(" ".join(row[1:]), start=f"{row[0]} ")


def _of_parameters(table: Table, columns: int) -> Iterator[Line]:
    for row in table.rows:
        names: dict[int, str] = {}
        for cell, part in zip(row[1:4], ("before", "after", "learned, %"), strict=True):
            for words in ("", "u of ")[: len(line(cell).names)]:
                names[len(names)] = f"{words}{row[0]}, {part}"
        yield line(" ".join(row[1:columns]), names, start=f"{row[0]} ")


def _share_name(source: str) -> str:
    # The small ones stand together in words, and one by one in the JSON.
    return "" if " more, " in source else f"share of {source}, %"


def _share(source: str, text: str) -> Line:
    return line(text, {0: _share_name(source)}, start=f"{source} ")


def _drop(drop: model_words.Drop) -> str:
    if drop.code == model_words.WHOLE:
        return "full: content, %"
    return f"with {drop.label}, %" if drop.is_total else f"{drop.label}, change"


def _bars(labels: list[str], texts: list[str], names: list[str]) -> Line:
    """Return a chart of bars: the names from top to bottom, then the numbers."""
    first, second = line("", start=" ".join(labels)), line(" ".join(texts), dict(enumerate(names)))
    # Between the two stand the scale and, at most, a mark or two.
    between = r"(?!\w).{0,60}?"
    pattern = first.pattern.removesuffix(BEHIND) + between + second.pattern
    return Line(f"bars of {labels[0]}", pattern, second.names)
