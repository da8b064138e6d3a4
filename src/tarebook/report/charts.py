"""The charts of a report, as Vega-Lite specifications: plain dicts that other tools can show.

Each returns None where the readings do not allow the picture. Every label stands beside what it
names, so there is no legend. Bars and bands are 95 %: twice the standard uncertainty.
"""

from __future__ import annotations

from typing import Any

from tarebook.diagnosis.liquid import LOOK_AT, compare_liquid
from tarebook.report import numbers
from tarebook.report.axis_words import axis_words
from tarebook.report.curve_chart import curve, curve_key
from tarebook.report.drawing import (
    PALETTE,
    PHONE,
    Spec,
    axis_runs,
    axis_y,
    chart,
    kind_of,
    layer,
    points,
    renamed,
    rule,
    text,
)
from tarebook.report.languages.writing import ENGLISH, Writing
from tarebook.report.model_charts import COVERAGE, ph, ph_note, waterfall
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import run_results
from tarebook.report.shares import budget_lines

__all__ = ["budget", "curve", "curve_key", "limiting", "liquid", "ph", "ph_note", "waterfall"]


def limiting(outcome: Outcome, *, width: int = 560, how: Writing = ENGLISH) -> Spec | None:
    """Return the chart of how probable it is that the reagent, or all acid, limits, run by run.

    None if no run has amounts. Parameters as for `curve`.
    """
    rows: list[dict[str, Any]] = [
        {
            "run": result.run,
            "order": place,
            "p": 100.0 * result.p_reagent_limiting,
            "label": numbers.probability(result.p_reagent_limiting, how.style),
            "kind": kind_of(result.p_reagent_limiting),
        }
        for place, result in enumerate(run_results(outcome))
        if result.p_reagent_limiting is not None
    ]
    if not rows:
        return None
    acid = axis_words(outcome.experiment, how).acid
    x = axis_runs(how("tables.run"))
    y = axis_y("p", how("charts.chance", what=acid), [0, 100])
    y["axis"]["values"] = [0, 50, 100]
    layers = [
        layer(rows, rule("soft"), x=x, y=y, y2={"datum": 50}),
        *points(rows, x, y),
    ]
    if width / len(rows) >= 52:
        for over, dy in ((True, -13), (False, 14)):
            shown = [row for row in rows if (row["p"] >= 50) is over]
            mark = text("soft", size=11, dy=dy)
            layers.append(layer(shown, mark, x=x, y=y, text={"field": "label"}))
    made = chart(layers, width, 105, how.style)
    made["padding"] = {"left": 4, "right": 14, "top": 10, "bottom": 6}
    y["axis"]["titleY"] = -24
    x["axis"]["offset"] = 24
    return made


def budget(outcome: Outcome, *, width: int = 300, how: Writing = ENGLISH) -> Spec | None:
    """Return the chart of the sources of uncertainty; None if the series has no result.

    Parameters as for `curve`; below 400 px the names stand above their bars.
    """
    rows: list[dict[str, Any]] = [
        {"source": item.source, "share": 100.0 * item.part, "label": item.text}
        for item in budget_lines(outcome, how)
    ]
    if not rows:
        return None
    most = 1.2 * max(row["share"] for row in rows)
    stacked = width < PHONE
    names: Spec = {"title": None, "domain": False, "ticks": False, "grid": False,
                   "labelLimit": 400, "labelColor": PALETTE["ink"], "labelFontSize": 12,
                   "labelPadding": 8}  # fmt: skip
    y: Spec = {"field": "source", "type": "nominal", "sort": None, "axis": names}
    x: Spec = {"field": "share", "type": "quantitative", "axis": None,
               "scale": {"domain": [0, most], "nice": False}}  # fmt: skip
    shift = 8 if stacked else 0
    bar: Spec = {"type": "bar", "color": PALETTE["rise"], "height": 8, "yOffset": shift}
    layers = [
        layer(rows, bar, x=x, y=y),
        layer(rows, text("ink", dx=6, dy=shift, align="left"), x=x, y=y, text={"field": "label"}),
    ]
    if stacked:
        y["axis"] = None
        mark = text("ink", dy=-6, align="left")
        layers.append(layer(rows, mark, x={"value": 0}, y=y, text={"field": "source"}))
    return chart(layers, width, (36 if stacked else 18) * len(rows), how.style)


def liquid(outcome: Outcome, *, width: int = 560, how: Writing = ENGLISH) -> Spec | None:
    """Return the chart of the liquid by mass less the liquid by volume, run by run.

    None if fewer than two runs have the readings for it. Parameters as for `curve`.
    """
    check = compare_liquid(outcome.experiment, outcome.table)
    if len(check.runs) < 2:
        return None
    rows: list[dict[str, Any]] = [
        {
            "run": run,
            "order": order,
            "kind": "reagent limits" if abs(odd) <= LOOK_AT else "not sure",
            "y": float(apart),
            "y_low": float(apart - COVERAGE * u),
            "y_high": float(apart + COVERAGE * u),
        }
        for order, (run, apart, u, odd) in enumerate(
            zip(check.runs, check.difference, check.u, check.odd, strict=True)
        )
    ]
    low = min(0.0, *(row["y_low"] for row in rows))
    high = max(0.0, *(row["y_high"] for row in rows))
    margin = 0.08 * (high - low)
    x = axis_runs(how("tables.run"))
    y = axis_y("y", how("tables.liquid_axis"), [low - margin, high + margin], ticks=5)
    common = [{"y": check.common}]
    layers = [
        layer([{"y": 0.0}], rule("ink"), y=y),
        layer(common, rule("soft", dash=(2, 3)), y=y),
        layer(rows, rule("ink"), x=x, y=renamed(y, "y_low"), y2={"field": "y_high"}),
        *points(rows, x, y),
    ]
    return chart(layers, width, 100, how.style)
