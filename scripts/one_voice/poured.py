"""What is printed of a row that stands filled: JSON, page, paper and terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from scripts.one_voice.lines import Found, Line, find, line
from scripts.one_voice.outputs import one_line, words_of_page, words_of_paper
from scripts.one_voice.voices import Printed

from tarebook.report.handover.document import handover_document, handover_page
from tarebook.report.handover.story import HandoverStory, tell_handover
from tarebook.report.handover.text import handover_text
from tarebook.report.outcome import Outcome
from tarebook.report.payload import payload

_HELD = {
    "diluent_mL": 1.0,
    "reagent_mL": 1.0,
    "reagent_mol": 1000.0,
    "concentration_mol_per_L": 1.0,
    "liquid_by_volume_g": 1.0,
    "liquid_by_mass_g": 1.0,
    "left_behind_g": 1.0,
}
"""Quantities of a cup in the order of its two tables, and bench units in one of the JSON's."""
INSIDE = 4
"""So many of them stand in the first table."""


def handover_texts(outcome: Outcome) -> dict[str, str]:
    """Return page, paper and terminal of a row that stands filled.

    Parameters
    ----------
    outcome : Outcome
    """
    handover = outcome.handover
    assert handover is not None
    return {
        "page": one_line(words_of_page(handover_page(outcome, handover))),
        "paper": one_line(words_of_paper(handover_document(outcome, handover))),
        "terminal": one_line(handover_text(outcome, handover, width=400)),
    }


def gather_poured(outcome: Outcome, texts: dict[str, str]) -> Found:
    """Return every quantity of a row that stands filled, and the lines that an output lacks.

    Parameters
    ----------
    outcome : Outcome
    texts : dict of str to str
        As `handover_texts` has them.
    """
    handover = outcome.handover
    assert handover is not None
    found, lines = (
        Found(printed=list(_of_json(outcome))),
        tuple(_lines(tell_handover(outcome, handover))),
    )
    cautions = tuple(_cautions(tell_handover(outcome, handover)))
    for where, text in texts.items():
        one = find(lines if where == "terminal" else (*lines, *cautions), text, where)
        found.printed += one.printed
        found.missing += one.missing
    return found


def _of_json(outcome: Outcome) -> Iterator[Printed]:
    for run in payload(outcome)["runs"]:
        for name, factor in _HELD.items():
            held = run["handover"][name]
            for part, words in (("value", ""), ("u", "u of ")):
                if held is not None:
                    value = factor * held[part]
                    yield Printed(
                        name=f"{words}run {run['run']}: {name}", where="JSON", value=value
                    )


def _lines(story: HandoverStory) -> Iterator[Line]:
    held = tuple(_HELD)
    for table, parts in zip(story.cups, (held[:INSIDE], held[INSIDE:]), strict=True):
        for row in table.rows:
            names: dict[int, str] = {}
            for cell, part in zip(row[1:], parts, strict=True):
                for words in ("", "u of ")[: len(line(cell).names)]:
                    names[len(names)] = f"{words}run {row[0].rstrip('*†')}: {part}"
            yield line(" ".join(row[1:]), names, start=f"{row[0]} ")
    for more in (story.to_come, story.beside_plan):
        for row in more.rows if more else ():
            yield line(" ".join(row[1:]), start=f"{row[0]} ")
    for fact in story.facts:
        yield line(fact.value, start=f"{fact.label} ")
        yield line(fact.note)


MOST = ("most in a cup: volume_mL", "most in a cup: concentration_mol_per_L")
"""Bounds that the caution gives: no cup may hold more."""


def _cautions(story: HandoverStory) -> Iterator[Line]:
    for caution in story.cautions:
        yield line(caution, dict(enumerate(MOST)))


def understated(printed: Iterable[Printed]) -> tuple[str, ...]:
    """Return the cups that hold more than a caution says, and the caution.

    Parameters
    ----------
    printed : iterable of Printed
        As `gather_poured` has it.
    """
    printed = tuple(printed)
    held: dict[str, dict[str, float]] = {}
    for one in printed:
        run, _, what = one.name.partition(": ")
        if one.where == "JSON" and run.startswith("run "):
            held.setdefault(run, {})[what] = one.value
    return tuple(
        f"{run} holds {value:.5g} where {one.where} says {one.value:g}"
        for one in printed
        if one.name in MOST
        for run, cup in held.items()
        if (value := _held(cup, one.name)) > one.value
    )


def _held(cup: dict[str, float], bound: str) -> float:
    if bound == MOST[0]:
        return cup["reagent_mL"] + cup["diluent_mL"]
    return cup["concentration_mol_per_L"]
