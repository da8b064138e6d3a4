"""The charts of a report, as Vega-Lite specifications: plain dicts that other tools can show.

Each returns None where the readings do not allow the picture. Every label stands beside what it
names, so there is no legend. Bars and bands are 95 %: twice the standard uncertainty.
"""

from __future__ import annotations

from typing import Any

from tarebook.core.units import millilitres
from tarebook.diagnosis.liquid import LOOK_AT, compare_liquid
from tarebook.records.readings import Quantity
from tarebook.reduction.results import UsualSeries
from tarebook.report import numbers
from tarebook.report.drawing import (
    PALETTE,
    PHONE,
    Spec,
    axis_runs,
    axis_x,
    axis_y,
    chart,
    halo,
    kind_of,
    layer,
    line,
    points,
    renamed,
    rule,
    text,
)
from tarebook.report.model_charts import COVERAGE, curve_layers, gas_made, ph, ph_note, waterfall
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import run_results
from tarebook.report.shares import budget_lines

FAR = 1.2
"""A run that is not used is drawn in its place up to this multiple of the highest other one."""

__all__ = ["budget", "curve", "curve_key", "limiting", "liquid", "ph", "ph_note", "waterfall"]

KEY = {
    "reagent limits": "circle, the reagent limits",
    "sample limits": "square, the sample limits",
    "not sure": "diamond, not sure",
    "not used": "hollow circle, not used",
}


def curve(
    outcome: Outcome, *, width: int = 560, height: int = 320, style: NumberStyle = numbers.PRINT
) -> Spec | None:
    """Return the chart of the series: mass lost against reagent poured.

    Parameters
    ----------
    outcome : Outcome
    width, height : int, [px]
        Of the plot.
    style : NumberStyle

    Returns
    -------
    dict or None
        With the model's curve and band where it was fitted, and the two lines of the textbook
        calculation if it found an equivalence point; None if no run has amounts.
    """
    used = _used_points(outcome)
    if not used:
        return None
    x_top, y_top = (max(point[end] for point in used) for end in ("x_high", "y_high"))
    drawn = [*used, *_other_points(outcome, x_top, y_top)]
    made = gas_made(outcome, _places(outcome))
    x_most = 1.06 * max(point["x_high"] for point in drawn)
    y_most = 1.24 * max(*(point["y_high"] for point in drawn), *(row["made"] for row in made), 0.0)
    x = axis_x("x", "reagent poured / mL", [0, x_most])
    y = axis_y("y", "mass lost / g", [min(0.0, *(p["y_low"] for p in drawn)), y_most])
    tops = [*((p["x"], p["y_high"]) for p in drawn if p["kind"] != "not used"),
            *((row["x"], row["made"]) for row in made)]  # fmt: skip
    behind, before = _line_layers(outcome, tops, x, y, width, style)
    name = text("soft", size=11, dx=8, dy=12, align="left")
    layers = [
        *behind,
        *_made_layers(made, x, y, width),
        layer(drawn, rule("ink"), x=renamed(x, "x_low"), x2={"field": "x_high"}, y=y),
        layer(drawn, rule("ink"), x=x, y=renamed(y, "y_low"), y2={"field": "y_high"}),
        *points(drawn, x, y),
        *(layer(drawn, mark, x=x, y=y, text={"field": "label"}) for mark in (halo(name), name)),
        *before,
    ]
    return chart(layers, width, height, style)


def _made_layers(made: list[dict[str, Any]], x: Spec, y: Spec, width: int) -> list[Spec]:
    """Return a dash for the gas that each run made, above the mass that it lost."""
    if not made:
        return []
    dash: Spec = {"type": "tick", "orient": "horizontal", "size": 13, "thickness": 2,
                  "color": PALETTE["ink"]}  # fmt: skip
    named = sorted(made, key=lambda row: row["x"])[len(made) // 4]
    said = "gas made" if width < PHONE else "gas made, by the model"
    return [
        layer(made, rule("soft"), x=x, y=renamed(y, "lost"), y2={"field": "made"}),
        layer(made, dash, x=x, y=renamed(y, "made")),
        layer([named], text("ink", size=11, dx=-11, dy=-6, align="right", text=said), x=x,
              y=renamed(y, "made")),
    ]  # fmt: skip


def curve_key(outcome: Outcome) -> str:
    """Return what the marks of `curve` mean, those that it shows; empty if there is no curve."""
    used = _used_points(outcome)
    if not used:
        return ""
    x_top, y_top = (max(point[end] for point in used) for end in ("x_high", "y_high"))
    drawn = {point["kind"] for point in (*used, *_other_points(outcome, x_top, y_top))}
    marks = "; ".join(words for kind, words in KEY.items() if kind in drawn)
    parts = ["Each point is one run, scaled to the same sample mass."]
    band = " and the shaded band" if outcome.usual.series or outcome.full.series else ""
    if outcome.full.series:
        parts.append("The thick curve is the model of the cup.")
        if outcome.usual.series:
            parts.append("The thin dashed lines are those of the textbook calculation.")
        parts.append("A dash above a point is the gas that the run made: what lies between is held "
                     "back.")  # fmt: skip
    return f"{' '.join(parts)} Bars{band} are 95\u00a0%. Marks: {marks}."


def _line_layers(
    outcome: Outcome,
    tops: list[tuple[float, float]],
    x: Spec,
    y: Spec,
    width: int,
    style: NumberStyle,
) -> tuple[list[Spec], list[Spec]]:
    """Return lines and band, to stand behind the points, and their labels."""
    usual, full = outcome.usual.series, outcome.full.series
    series = full or usual
    if series is None:
        return [], []
    x_most = x["scale"]["domain"][1]
    at = millilitres(series.equivalence.value)
    low, high = (millilitres(end) for end in (series.equivalence.low, series.equivalence.high))
    behind: list[Spec] = [
        layer([{"low": low, "high": min(high, x_most)}], {"type": "rect", "color": PALETTE["band"]},
              x=renamed(x, "low"), x2={"field": "high"}),
        layer([{"x": at}], rule("soft", dash=(2, 3)), x=x),
    ]  # fmt: skip
    if full is not None:
        behind += curve_layers(full, x, y)
    if usual is not None:
        behind += _usual_lines(usual, x, y, thin=full is not None)
    labels = _equivalence_labels(outcome, x, y, width, style)
    over = max((top for place, top in tops if place > at), default=y["scale"]["domain"][1] / 1.24)
    below = full is not None
    middle = [{"x": 0.56 * at, "y": _height(outcome, 0.56 * at)}]
    aside: dict[str, Any] = (
        {"dx": 12, "dy": 12, "align": "left"} if below else {"dx": -12, "dy": -8, "align": "right"}
    )
    rising = text("rise", text="reagent limits", **aside)
    labels += [
        *(layer(middle, mark, x=x, y=y) for mark in (halo(rising), rising)),
        layer([{"x": x_most, "y": over}],
              text("level", dy=-12, align="right", text="sample limits"),
              x=x, y=y),
    ]  # fmt: skip
    return behind, labels


def _usual_lines(usual: UsualSeries, x: Spec, y: Spec, *, thin: bool) -> list[Spec]:
    """Return the two lines of the textbook calculation; thin, dashed beside the model's."""
    at = millilitres(usual.equivalence.value)
    start, level = _levels(usual)
    foot = max(0.0, -start * at / (level - start))
    rise = [{"x": foot, "y": max(start, 0.0)}, {"x": at, "y": level}]
    flat = [{"x": at, "y": level}, {"x": x["scale"]["domain"][1], "y": level}]
    if thin:
        both = [rise[0], *flat]
        return [layer(both, line("ink", width=1.0, dash=(4, 3)), x=x, y=y)]
    return [
        layer(rise, line("rise"), x=x, y=y),
        layer(flat, line("level", dash=(7, 4)), x=x, y=y),
    ]


def _levels(usual: UsualSeries) -> tuple[float, float]:
    """Return start and level of the two lines for the nominal sample mass, [g]."""
    return usual.nominal_mass * usual.fit.intercept, usual.nominal_mass * usual.fit.plateau


def _height(outcome: Outcome, volume: float) -> float:
    """Return the mass lost at a volume [mL] on the rising line."""
    full, usual = outcome.full.series, outcome.usual.series
    if full is not None:
        return min(full.band, key=lambda point: abs(millilitres(point.reagent) - volume)).lost
    if usual is None:
        return 0.0
    start, level = _levels(usual)
    return start + (level - start) * volume / millilitres(usual.equivalence.value)


def _equivalence_labels(
    outcome: Outcome, x: Spec, y: Spec, width: int, style: NumberStyle
) -> list[Spec]:
    """Return where both reactants are used up: the main result on top, the textbook's below."""
    usual, full = outcome.usual.series, outcome.full.series
    series = full or usual
    if series is None:
        return []
    x_most, y_most = x["scale"]["domain"][1], y["scale"]["domain"][1]
    at = millilitres(series.equivalence.value)
    wrap = "\n" if width < PHONE else " "
    on_right = at < 0.6 * x_most
    placing: dict[str, Any] = (
        {"dx": 7, "align": "left"} if on_right else {"dx": -7, "align": "right"}
    )
    said = f"both used up at{wrap}{numbers.quantity(series.equivalence, style)}"
    labels = [
        layer([{"x": at, "y": y_most, "said": said}],
              text("ink", weight="600", dy=9, lineBreak="\n", **placing),
              x=x, y=y, text={"field": "said"}),
    ]  # fmt: skip
    if full is not None and usual is not None:
        there = millilitres(usual.equivalence.value)
        found = numbers.quantity(usual.equivalence, style)
        meet = f"textbook calculation:{wrap}lines meet at{wrap}{found}"
        bottom = y["scale"]["domain"][0]
        labels += [
            layer([{"x": there, "y": bottom, "said": meet}],
                  text("soft", size=11, dy=-36 if width < PHONE else -10, lineBreak="\n",
                       **placing),
                  x=x, y=y, text={"field": "said"}),
        ]  # fmt: skip
    return labels


def limiting(
    outcome: Outcome, *, width: int = 560, style: NumberStyle = numbers.PRINT
) -> Spec | None:
    """Return the chart of how probable it is that the reagent limits, run by run.

    None if no run has amounts. Parameters as for `curve`.
    """
    rows: list[dict[str, Any]] = [
        {
            "run": result.run,
            "order": place,
            "p": 100.0 * result.p_reagent_limiting,
            "label": numbers.probability(result.p_reagent_limiting, style),
            "kind": kind_of(result.p_reagent_limiting),
        }
        for place, result in enumerate(run_results(outcome))
        if result.p_reagent_limiting is not None
    ]
    if not rows:
        return None
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
    return chart(layers, width, (36 if stacked else 18) * len(rows), style)


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
    return chart(layers, width, 100, style)


def _used_points(outcome: Outcome) -> list[dict[str, Any]]:
    """Return the runs that the lines use; without lines, all that have amounts."""
    series = outcome.usual.series
    chance = {r.run: r.p_reagent_limiting or 0.0 for r in run_results(outcome)}
    if series is None:
        nominal = outcome.experiment.sample.nominal_mass
        u_gas = {run.run: run.gas_found.u for run in outcome.usual.runs}
        return [
            {**place, "label": run, "kind": kind_of(chance.get(run, 0.5)),
             "y_low": place["y"] - COVERAGE * u_gas[run] * nominal / place["sample"],
             "y_high": place["y"] + COVERAGE * u_gas[run] * nominal / place["sample"]}
            for run, place in _places(outcome).items()
            if run in u_gas
        ]  # fmt: skip
    return [
        {
            "label": point.run,
            "kind": kind_of(chance.get(point.run, 0.5)),
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
