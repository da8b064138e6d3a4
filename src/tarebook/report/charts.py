"""The charts of a report, as Vega-Lite specifications: plain dicts that other tools can show.

Each returns None where the readings do not allow the picture. Every label stands beside what it
names, so there is no legend. Bars and bands are 95 %: twice the standard uncertainty.
"""

from __future__ import annotations

from typing import Any

from tarebook.core.units import millilitres
from tarebook.diagnosis.liquid import LOOK_AT, compare_liquid
from tarebook.records.readings import Quantity
from tarebook.report import numbers
from tarebook.report.drawing import (
    PALETTE,
    Spec,
    axis_runs,
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
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.report.shares import budget_lines

COVERAGE = 2.0
"""Half-length of an uncertainty bar in standard uncertainties."""

SURE = 0.975
"""From this probability on a run is drawn as belonging to one line."""

FAR = 1.2
"""A run that is not used is drawn in its place up to this multiple of the highest other one."""

KEY = {
    "reagent limits": "circle, the reagent limits",
    "sample limits": "square, the sample limits",
    "not sure": "diamond, not sure",
    "not used": "hollow circle, not used",
}

PHONE = 400
"""Below this width [px] the labels are set for a phone."""


def curve(
    outcome: Outcome, *, width: int = 560, height: int = 320, style: NumberStyle = numbers.PRINT
) -> Spec | None:
    """Return the chart of the series: gas found against reagent poured.

    Parameters
    ----------
    outcome : Outcome
    width, height : int, [px]
        Of the plot.
    style : NumberStyle

    Returns
    -------
    dict or None
        With the two lines if the series shows a change-over; None if no run has amounts.
    """
    used = _used_points(outcome)
    if not used:
        return None
    x_top, y_top = (max(point[end] for point in used) for end in ("x_high", "y_high"))
    drawn = [*used, *_other_points(outcome, x_top, y_top)]
    x_most = 1.06 * max(point["x_high"] for point in drawn)
    y_most = 1.24 * max(point["y_high"] for point in drawn)
    x = axis_x("x", "reagent poured / mL", [0, x_most])
    y = axis_y("y", "gas found / g", [min(0.0, *(p["y_low"] for p in drawn)), y_most])
    behind, before = _line_layers(outcome, drawn, x, y, width, style)
    name = text("soft", size=11, dx=8, dy=12, align="left")
    layers = [
        *behind,
        layer(drawn, rule("ink"), x=renamed(x, "x_low"), x2={"field": "x_high"}, y=y),
        layer(drawn, rule("ink"), x=x, y=renamed(y, "y_low"), y2={"field": "y_high"}),
        *points(drawn, x, y),
        layer(drawn, name, x=x, y=y, text={"field": "label"}),
        *before,
    ]
    return chart(layers, width, height, style)


def curve_key(outcome: Outcome) -> str:
    """Return what the marks of `curve` mean, those that it shows; empty if there is no curve."""
    used = _used_points(outcome)
    if not used:
        return ""
    x_top, y_top = (max(point[end] for point in used) for end in ("x_high", "y_high"))
    drawn = {point["kind"] for point in (*used, *_other_points(outcome, x_top, y_top))}
    marks = "; ".join(words for kind, words in KEY.items() if kind in drawn)
    band = " and the shaded band" if outcome.usual.series else ""
    return (
        "Each point is one run, scaled to the same sample mass. "
        f"Bars{band} are 95\u00a0%. Marks: {marks}."
    )


def _line_layers(
    outcome: Outcome,
    drawn: list[dict[str, Any]],
    x: Spec,
    y: Spec,
    width: int,
    style: NumberStyle,
) -> tuple[list[Spec], list[Spec]]:
    """Return the two lines and the band, to stand behind the points, and their labels."""
    series = outcome.usual.series
    if series is None:
        return [], []
    x_most, y_most = x["scale"]["domain"][1], y["scale"]["domain"][1]
    at = millilitres(series.equivalence.value)
    start, level = (series.nominal_mass * v for v in (series.fit.intercept, series.fit.plateau))
    foot = max(0.0, -start * at / (level - start))
    rise = [{"x": foot, "y": max(start, 0.0)}, {"x": at, "y": level}]
    flat = [{"x": at, "y": level}, {"x": x_most, "y": level}]
    low, high = (millilitres(end) for end in (series.equivalence.low, series.equivalence.high))
    behind = [
        layer([{"low": low, "high": min(high, x_most)}], {"type": "rect", "color": PALETTE["band"]},
              x=renamed(x, "low"), x2={"field": "high"}),
        layer([{"x": at}], rule("soft", dash=(2, 3)), x=x),
        layer(rise, line("rise"), x=x, y=y),
        layer(flat, line("level", dash=(7, 4)), x=x, y=y),
    ]  # fmt: skip
    over = max(
        (p["y_high"] for p in drawn if p["x"] > at and p["kind"] != "not used"), default=level
    )
    wrap = "\n" if width < PHONE else " "
    said = f"both used up at{wrap}{numbers.quantity(series.equivalence, style)}"
    on_right = at < 0.6 * x_most
    placing: dict[str, Any] = (
        {"dx": 7, "align": "left"} if on_right else {"dx": -7, "align": "right"}
    )
    middle = [{"x": 0.56 * at, "y": start + 0.56 * (level - start)}]
    before = [
        layer([{"x": at, "y": y_most, "said": said}],
              text("ink", weight="600", dy=9, lineBreak="\n", **placing),
              x=x, y=y, text={"field": "said"}),
        layer(middle, text("rise", dx=-12, dy=-8, align="right", text="reagent limits"), x=x, y=y),
        layer([{"x": x_most, "y": over}],
              text("level", dy=-12, align="right", text="sample limits"), x=x, y=y),
    ]  # fmt: skip
    return behind, before


def limiting(
    outcome: Outcome, *, width: int = 560, style: NumberStyle = numbers.PRINT
) -> Spec | None:
    """Return the chart of how probable it is that the reagent limits, run by run.

    None if no run has amounts. Parameters as for `curve`.
    """
    runs = outcome.usual.runs
    if not runs:
        return None
    rows: list[dict[str, Any]] = [
        {
            "run": run.run,
            "order": place,
            "p": 100.0 * run.p_reagent_limiting,
            "label": numbers.probability(run.p_reagent_limiting, style),
            "kind": _kind(run.p_reagent_limiting),
        }
        for place, run in enumerate(runs)
    ]
    x, y = axis_runs(), axis_y("p", "chance that the reagent limits / %", [0, 100])
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
    made = chart(layers, width, 105, style)
    made["padding"] = {"left": 4, "right": 14, "top": 10, "bottom": 6}
    y["axis"]["titleY"] = -24
    x["axis"]["offset"] = 18
    return made


def budget(
    outcome: Outcome, *, width: int = 300, style: NumberStyle = numbers.PRINT
) -> Spec | None:
    """Return the chart of the sources of uncertainty; None if the series has no result.

    Parameters as for `curve`; below 400 px the names stand above their bars.
    """
    rows = [
        {"source": item.source, "share": 100.0 * item.part, "label": item.text}
        for item in budget_lines(outcome, style)
    ]
    if not rows:
        return None
    most = 1.2 * max(100.0 * item.part for item in budget_lines(outcome, style))
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
    return chart(layers, width, (36 if stacked else 22) * len(rows), style)


def liquid(
    outcome: Outcome, *, width: int = 560, style: NumberStyle = numbers.PRINT
) -> Spec | None:
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
    x = axis_runs()
    y = axis_y("y", "liquid weighed − liquid by volume / g", [low - margin, high + margin], ticks=5)
    common = [{"y": check.common}]
    layers = [
        layer([{"y": 0.0}], rule("ink"), y=y),
        layer(common, rule("soft", dash=(2, 3)), y=y),
        layer(rows, rule("ink"), x=x, y=renamed(y, "y_low"), y2={"field": "y_high"}),
        *points(rows, x, y),
    ]
    return chart(layers, width, 125, style)


def _used_points(outcome: Outcome) -> list[dict[str, Any]]:
    """Return the runs that the lines use; without lines, all that have amounts."""
    series = outcome.usual.series
    chance = {run.run: run.p_reagent_limiting for run in outcome.usual.runs}
    if series is None:
        nominal = outcome.experiment.sample.nominal_mass
        u_gas = {run.run: run.gas_found.u for run in outcome.usual.runs}
        return [
            {**place, "label": run, "kind": _kind(chance[run]),
             "y_low": place["y"] - COVERAGE * u_gas[run] * nominal / place["sample"],
             "y_high": place["y"] + COVERAGE * u_gas[run] * nominal / place["sample"]}
            for run, place in _places(outcome).items()
            if run in chance
        ]  # fmt: skip
    return [
        {
            "label": point.run,
            "kind": _kind(chance[point.run]),
            "x": millilitres(point.reagent),
            "x_low": millilitres(point.reagent - COVERAGE * point.u_reagent),
            "x_high": millilitres(point.reagent + COVERAGE * point.u_reagent),
            "y": point.gas,
            "y_low": point.gas - COVERAGE * point.u_gas,
            "y_high": point.gas + COVERAGE * point.u_gas,
        }
        for point in series.curve
    ]


def _other_points(outcome: Outcome, x_top: float, y_top: float) -> list[dict[str, Any]]:
    """Return the runs that the lines do not use but that have a place in the picture.

    One that lies far above or below stands at the edge, with its gas beside it.
    """
    series = outcome.usual.series
    used = {point.run for point in series.curve} if series else {r.run for r in outcome.usual.runs}
    drawn = []
    for run, place in _places(outcome).items():
        if run in used or not 0 <= place["x"] <= FAR * x_top:
            continue
        label, y = f"{run} (not used)", place["y"]
        if not 0 <= y <= FAR * y_top:
            label = f"{run} (not used): {numbers.plain(y)} g {'↑' if y > 0 else '↓'}"
            y = FAR * y_top if y > 0 else 0.0
        drawn.append({**place, "label": label, "kind": "not used",
                      "y": y, "y_low": y, "y_high": y})  # fmt: skip
    return drawn


def _places(outcome: Outcome) -> dict[str, dict[str, Any]]:
    """Return where each run stands by its readings alone, per nominal sample mass."""
    nominal = outcome.experiment.sample.nominal_mass
    wanted = (Quantity.REAGENT, Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
    places = {}
    for run in outcome.table.runs:
        read = [[reading.value for reading in outcome.table.of(run, what)] for what in wanted]
        if not all(read):
            continue
        volume, filled, sample, final = (sum(values) / len(values) for values in read)
        if sample <= 0:
            continue
        x = millilitres(volume) * nominal / sample
        y = (filled + sample - final) * nominal / sample
        places[run] = {"x": x, "x_low": x, "x_high": x, "y": y, "sample": sample}
    return places


def _kind(p_reagent: float) -> str:
    if p_reagent >= SURE:
        return "reagent limits"
    return "sample limits" if p_reagent <= 1.0 - SURE else "not sure"
