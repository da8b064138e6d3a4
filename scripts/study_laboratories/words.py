"""Lines and tables for a terminal and for the page."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from scripts.study_laboratories.plans import Judgement
from scripts.study_laboratories.tally import Line, Verdict

MARKS = {Verdict.MET: "", Verdict.CHANCE: " ?", Verdict.BROKEN: " **!**"}
"""Behind a figure: met, outside by what may be chance, broken."""

HEAD = (
    "| laboratory | n | stop, % | look, % | no result, % | bias, % | allowed, % | u, % | "
    "covers, % | textbook, % | s |",
    "| --- | --: | --: | --: | --: | --: | --: | --: | --: | --: | --: |",
)


def percent(value: float, digits: int = 1, *, sign: bool = False) -> str:
    """Return a part as per cent, with a minus that a reader takes for one.

    Examples
    --------
    >>> percent(-0.0123, 2, sign=True), percent(float("nan"))
    ('−1.23', '–')
    """
    if math.isnan(value):
        return "–"
    return f"{100 * value:{'+' if sign else ''}.{digits}f}".replace("-", "−")


NO_PLANS: Mapping[str, Judgement] = {}


def table(lines: Iterable[Line], plans: Mapping[str, Judgement] = NO_PLANS) -> str:
    """Return lines as a table, with a mark behind each figure that is outside its bound."""
    return "\n".join([*HEAD, *(_row(line, is_refused(line, plans)) for line in lines)])


def is_refused(line: Line, plans: Mapping[str, Judgement]) -> bool:
    """Return whether the plan refuses the laboratory of a line."""
    return line.laboratory in plans and plans[line.laboratory].refuses


def _row(line: Line, refused: bool) -> str:
    verdicts = line.verdicts(refused=refused)
    marks = {name: MARKS[verdict] for name, verdict in verdicts.items()}
    bias = f"{percent(line.bias, 2, sign=True)} ± {percent(line.bias_se, 2)}"
    cells = (
        line.laboratory,
        str(line.n),
        percent(line.stops / line.n) + marks.get("stop", ""),
        percent(line.looks / line.n) + marks.get("look", ""),
        percent(1.0 - line.n_results / line.n),
        bias + marks.get("bias", ""),
        percent(line.bias_allowed, 2),
        percent(line.u, 2),
        percent(line.coverage) + marks.get("coverage", ""),
        percent(line.usual, 1, sign=True),
        f"{line.seconds:.2f}",
    )
    return "| " + " | ".join(cells) + " |"


def codes(lines: Iterable[Line]) -> str:
    """Return which findings struck clean series, how often, and series to look at."""
    found = []
    for line in lines:
        said = [
            *(f"stop {code} {n}" for code, n in line.stop_codes.most_common()),
            *(f"look {code} {n}" for code, n in line.look_codes.most_common()),
            *(f"no result {n}: {why}" for why, n in line.reasons.most_common(3)),
        ]
        if said:
            numbers = ", ".join(str(number) for number in line.worst)
            found.append(f"{line.laboratory}, {line.physics} ({line.n} series; see {numbers}):")
            found += [f"    {what}" for what in said]
    return "\n".join(found)


def broken(lines: Sequence[Line], plans: Mapping[str, Judgement] = NO_PLANS) -> list[str]:
    """Return which bounds are broken, in words."""
    found = []
    for line in lines:
        figures = {
            "stop": f"{line.stops} of {line.n} clean series are stopped",
            "look": f"{line.looks} of {line.n} clean series get a look",
            "bias": f"bias {percent(line.bias, 2, sign=True)} %",
            "coverage": f"{line.covered} of {line.n_results} intervals hold the truth",
        }
        where = f"{line.laboratory} ({line.physics})"
        refused = is_refused(line, plans)
        verdicts = line.verdicts(refused=refused).items()
        found += [f"{where}: {figures[k]}" for k, v in verdicts if v is Verdict.BROKEN]
        if refused and line.n_results:
            found.append(f"{where}: {line.n_results} contents stated though the plan refuses it")
    return found
