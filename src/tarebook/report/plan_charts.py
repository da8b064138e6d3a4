"""The charts of a plan, as Vega-Lite specifications."""

from __future__ import annotations

from collections import Counter
from typing import Any

from tarebook.core.units import millilitres
from tarebook.planning.plan import Plan
from tarebook.report import numbers
from tarebook.report.axis_words import axis_words
from tarebook.report.drawing import (
    PALETTE,
    Spec,
    axis_x,
    axis_y,
    chart,
    layer,
    line,
    points,
    renamed,
    rule,
    text,
)
from tarebook.report.languages.writing import Writing, course_writing
from tarebook.report.numbers import NumberStyle
from tarebook.report.plan_story import Bar
from tarebook.report.plan_words import at_words, row_name

SURE = 0.975
"""From this probability on a run is drawn as belonging to one line."""

MOST_LABELS = 14


def plan_key(plan: Plan, how: Writing | None = None) -> str:
    """Return what the marks of `plan_curve` mean, in the language of the course if not said."""
    how = how or course_writing(plan.experiment)
    return how("plan_report.key", acid=axis_words(plan.experiment, how).acid)


def plan_curve(
    plan: Plan, *, width: int = 560, height: int = 300, how: Writing | None = None
) -> Spec:
    """Return the chart of the expected row: mass lost against reagent poured.

    Parameters
    ----------
    plan : Plan
    width, height : int, [px]
        Of the plot.
    how : Writing, optional
        Language and numbers; those of the course without it.
    """
    expected, how = plan.expected, how or course_writing(plan.experiment)
    words, grows = axis_words(plan.experiment, how), plan.experiment.grows == "sample"
    at = expected.equivalence_sample if grows else expected.equivalence
    ends = [words.place(place) for place in (at.low, at.value, at.high)] if at else [0.0] * 3
    longest = max(run.sample for run in plan.experiment.planned) if grows else millilitres(
        plan.experiment.total_volume
    )  # fmt: skip
    x_most = 1.02 * max(longest, ends[1])
    y_most = 1.2 * max(
        *(point.high for point in expected.curve), *(run.lost.high for run in expected.runs)
    )
    y_least = min(0.0, *(point.low for point in expected.curve))
    x = axis_x("x", how("plan_report.axis", grows=plan.experiment.grows), [0, x_most])
    y = axis_y("y", how("plan_report.axis_loss"), [y_least, y_most])
    curve = [
        {
            "x": p.sample if grows else millilitres(p.reagent),
            "y": p.lost,
            "low": p.low,
            "high": p.high,
        }
        for p in expected.curve
    ]
    runs: list[dict[str, Any]] = [
        {
            "x": plan.experiment.sample_asked(run.run) if grows else millilitres(run.reagent),
            "y": run.lost.value,
            "label": run.run,
            "kind": _kind(run.p_reagent_limiting),
        }
        for run in expected.runs
    ]
    strip = [{"low": min(ends), "high": min(max(ends), x_most)}] if at else []
    on_right = ends[1] < 0.6 * x_most
    placing: dict[str, Any] = (
        {"dx": 7, "align": "left"} if on_right else {"dx": -7, "align": "right"}
    )
    said = how("plan_report.point", at=at_words(plan, how))
    label = [{"x": ends[1], "y": y_most, "said": said}] if at else []
    layers = [
        layer(strip, {"type": "rect", "color": PALETTE["band"]}, x=renamed(x, "low"),
              x2={"field": "high"}),
        layer(curve, {"type": "area", "color": PALETTE["rise"], "opacity": 0.16}, x=x,
              y=renamed(y, "low"), y2={"field": "high"}),
        layer(label, rule("soft", dash=(2, 3)), x=x),
        layer(curve, line("rise"), x=x, y=y),
        *points(runs, x, y),
        layer(_labels(runs), text("soft", size=11, dx=8, dy=12, align="left"), x=x, y=y,
              text={"field": "label"}),
        layer(label, text("ink", weight="600", dy=9, **placing), x=x, y=y, text={"field": "said"}),
    ]  # fmt: skip
    return chart(layers, width, height, how.style)


def _labels(runs: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return the labels that have room: of a long row only every second, third ..."""
    single = _one_each(runs)
    return single[:: 1 + (len(single) - 1) // MOST_LABELS]


def _one_each(runs: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return one label for runs that stand in one place, all their names in it."""
    named: dict[float, dict[str, Any]] = {}
    for run in runs:
        if run["x"] in named:
            named[run["x"]]["label"] += f", {run['label']}"
        else:
            named[run["x"]] = dict(run)
    return list(named.values())


def _kind(p_reagent: float) -> str:
    if p_reagent >= SURE:
        return "reagent limits"
    return "sample limits" if p_reagent <= 1.0 - SURE else "not sure"


def rows_chart(
    plan: Plan, *, width: int = 560, titled: bool = True, how: Writing | None = None
) -> Spec:
    """Return where the runs of the rows stand, one row above the other.

    Parameters
    ----------
    plan : Plan
    width : int, [px]
    titled : bool
        Whether the axis has a title; not where the picture stands under another with the same axis.
    how : Writing, optional
        Language and numbers; those of the course without it.
    """
    how = how or course_writing(plan.experiment)
    at = plan.expected.equivalence
    x_most = 1.02 * millilitres(max(plan.experiment.total_volume, at.value))
    x = axis_x("x", how("plan_report.axis_reagent") if titled else "", [0, x_most])
    shown = [row for row in plan.rows if not (plan.laid_out_anew and row.name == "even")]
    y: Spec = {
        "field": "row",
        "type": "nominal",
        "sort": [row_name(row.name, how) for row in shown],
        "axis": {"title": None, "domain": False, "ticks": False, "grid": True,
                 "labelLimit": 240, "labelColor": PALETTE["ink"]},
    }  # fmt: skip
    dots: list[dict[str, Any]] = []
    for row in shown:
        for volume, times in Counter(round(millilitres(v), 6) for v in row.reagent).items():
            count = f"{times}×" if times > 1 else ""
            name = row_name(row.name, how)
            dots.append({"row": name, "x": volume, "count": count, "times": times})
    mark: Spec = {"type": "point", "filled": True, "color": PALETTE["rise"], "opacity": 1}
    size: Spec = {
        "field": "times",
        "type": "quantitative",
        "scale": {"domain": [1, 8], "range": [40, 200]},
        "legend": None,
    }
    strip = [{"low": millilitres(at.low), "high": min(millilitres(at.high), x_most)}]
    layers = [
        layer(strip, {"type": "rect", "color": PALETTE["band"]}, x=renamed(x, "low"),
              x2={"field": "high"}),
        layer(dots, mark, x=x, y=y, size=size),
        layer(dots, text("ink", size=11, dy=-12), x=x, y=y, text={"field": "count"}),
    ]  # fmt: skip
    made = chart(layers, width, 30 * len(shown), how.style)
    made["padding"] = {"left": 4, "right": 14, "top": 8, "bottom": 6}
    return made


def upgrades_chart(
    bars: tuple[Bar, ...], *, width: int = 300, style: NumberStyle = numbers.PRINT
) -> Spec | None:
    """Return what better instruments buy as bars, the words above them; None without any.

    Parameters
    ----------
    bars : tuple of Bar
    width : int, [px]
    style : NumberStyle
    """
    if not bars:
        return None
    rows: list[dict[str, Any]] = [
        {"source": bar.source, "y": bar.part, "label": bar.text, "order": place}
        for place, bar in enumerate(bars)
    ]
    most = max(bar.part for bar in bars)
    x: Spec = {
        "field": "y",
        "type": "quantitative",
        "scale": {"domain": [0, 1.3 * most], "nice": False},
        "axis": None,
    }
    y: Spec = {"field": "source", "type": "nominal", "sort": {"field": "order"}, "axis": None}
    bar_mark: Spec = {"type": "bar", "color": PALETTE["rise"], "height": 8, "yOffset": 7}
    layers = [
        layer(rows, bar_mark, x=x, y=y),
        layer(rows, text("ink", dx=6, dy=7, align="left"), x=x, y=y, text={"field": "label"}),
        layer(rows, text("ink", dy=-7, align="left"), x={"value": 0}, y=y,
              text={"field": "source"}),
    ]  # fmt: skip
    return chart(layers, width, 36 * len(rows), style)
