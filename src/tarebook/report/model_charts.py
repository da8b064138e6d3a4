"""The charts that only the model of the cup can draw: its curve, the waterfall, the pH."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from tarebook.core.quantity import COVERAGE_95
from tarebook.reduction.joint.results import BandPoint, FullSeries
from tarebook.report import model_words, numbers
from tarebook.report.axis_words import AxisWords, axis_words
from tarebook.report.drawing import (
    PALETTE,
    PHONE,
    Spec,
    area,
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
from tarebook.report.languages.writing import ENGLISH, Writing
from tarebook.report.model_words import Drop
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import run_results

Places = dict[str, dict[str, Any]]
"""Where each run stands by its readings, by name."""

COVERAGE = COVERAGE_95
"""Half-length of an uncertainty bar in standard uncertainties: that of every 95 % interval."""

PH_KNOWN = 1.0
"""A pH whose u is larger is drawn without its bar, which would fill the picture."""


def curve_layers(
    full: FullSeries, words: AxisWords, x: Spec, y: Spec, colours: Mapping[str, str]
) -> list[Spec]:
    """Return the model's curve with its band, both parts in the colour of what limits there."""
    x_most = x["scale"]["domain"][1]
    at = words.place(full.meets_at.value)
    rows = [
        {"x": band_place(p, words), "y": p.lost, "low": p.low, "high": p.high} for p in full.band
    ]
    rows = [row for row in rows if row["x"] < x_most] + _between(rows, x_most)
    corner = _between(rows, at)
    rise = [row for row in rows if row["x"] < at] + corner
    level = corner + [row for row in rows if row["x"] > at]
    return [
        layer(rows, area("band"), x=x, y=renamed(y, "low"), y2={"field": "high"}),
        layer(rise, line(colours[words.rising]), x=x, y=y),
        layer(level, line(colours[words.beyond]), x=x, y=y),
    ]


def band_place(point: BandPoint, words: AxisWords) -> float:
    """Return where a point of the model's curve stands on the axis of the row."""
    return words.place(point.reagent if words.axis.grows == "reagent" else point.sample)


def _between(rows: list[dict[str, Any]], at: float) -> list[dict[str, Any]]:
    """Return the point of the curve at a place, on the chord of its neighbours."""
    before = [row for row in rows if row["x"] <= at]
    behind = [row for row in rows if row["x"] > at]
    if not before or not behind:
        return []
    first, second = before[-1], behind[0]
    part = (at - first["x"]) / (second["x"] - first["x"])
    between = {key: first[key] + part * (second[key] - first[key]) for key in ("y", "low", "high")}
    return [{"x": at, **between}]


def gas_made(outcome: Outcome, places: Places) -> list[dict[str, Any]]:
    """Return the gas that each run made, scaled as its reading is."""
    rows = []
    for result in run_results(outcome):
        place = places.get(result.run)
        if place is None or result.full is None or result.full.gas_full is None:
            continue
        made = result.full.gas_full.value * place["scale"]
        rows.append({"x": place["x"], "lost": place["y"], "made": made})
    return rows


def waterfall(outcome: Outcome, *, width: int = 560, how: Writing = ENGLISH) -> Spec | None:
    """Return the way from the textbook calculation to the model, effect by effect, in the content.

    Parameters
    ----------
    outcome : Outcome
    width : int, [px]
        Of the plot with its labels, about; below 400 px these stand above their bars.
    how : Writing

    Returns
    -------
    dict or None
        None without the model.
    """
    full = outcome.full.series
    drops = model_words.drops(full, how) if full else ()
    if full is None or not drops:
        return None
    stacked = width < PHONE
    rows = [_bar(drop, place) for place, drop in enumerate(drops)]
    ends = _ends(outcome, full, rows)
    x = _content_axis(outcome, rows, ends, how)
    y: Spec = {
        "field": "order",
        "type": "ordinal",
        "scale": {"paddingInner": 0.35, "paddingOuter": 0.2},
        "axis": None
        if stacked
        else {"title": None, "domain": False, "ticks": False, "grid": False, "labelLimit": 300,
              "labelColor": PALETTE["ink"], "labelFontSize": 12, "labelPadding": 8,
              "labelExpr": _label_expression(drops)},
    }  # fmt: skip
    shift = 9 if stacked else 0
    placed: Spec = {"yOffset": shift} if stacked else {}
    linked: Spec = {**placed, "y2Offset": shift} if stacked else {}
    layers: list[Spec] = [*_claim_layers(outcome, x, how)]
    link = {**rule("soft", dash=(2, 2)), **linked}
    layers.append(layer(_links(rows), link, x=renamed(x, "content"), y=y, y2={"field": "next"}))
    for kind, colour in (("up", "rise"), ("down", "level")):
        bars = [row for row in rows if row["kind"] == kind]
        mark: Spec = {"type": "bar", "color": PALETTE[colour], "height": 9, **placed}
        layers.append(layer(bars, mark, x=renamed(x, "start"), x2={"field": "content"}, y=y))
    layers.append(layer(ends, {**rule("ink", width=1.4), **placed}, x=renamed(x, "low"),
                        x2={"field": "high"}, y=y))  # fmt: skip
    diamond: Spec = {"type": "point", "shape": "diamond", "size": 110, "opacity": 1,
                     "fill": PALETTE["ink"], "stroke": PALETTE["paper"], **placed}  # fmt: skip
    layers.append(layer(ends, diamond, x=renamed(x, "content"), y=y))
    said = text("ink", dx=7, dy=shift, align="left")
    layers += [
        layer(rows, mark, x=renamed(x, "right"), y=y, text={"field": "shown"})
        for mark in (halo(said), said)
    ]
    if stacked:
        above = text("ink", dy=-6, align="left")
        layers += [
            layer(rows, mark, x={"value": 0}, y=y, text={"field": "label"})
            for mark in (halo(above), above)
        ]
    return chart(layers, width if stacked else width - 190, (40 if stacked else 22) * len(rows),
                 how.style)  # fmt: skip


def _bar(drop: Drop, place: int) -> dict[str, Any]:
    start = drop.content - drop.change
    kind = "total" if drop.is_total else "up" if drop.change >= 0 else "down"
    return {
        "order": place,
        "label": drop.label,
        "kind": kind,
        "start": start,
        "content": drop.content,
        "right": max(start, drop.content),
        "shown": drop.shown,
    }


def _ends(outcome: Outcome, full: FullSeries, rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return the two results with their 95 % intervals; the text stands right of these."""
    usual = outcome.usual.series
    estimates = (usual.sample_mass_fraction if usual else None, full.sample_mass_fraction)
    ends = []
    for row, estimate in zip((rows[0], rows[-1]), estimates, strict=True):
        out = numbers.outward(estimate) if estimate else None
        low, high = (out.low, out.high) if out else (row["content"], row["content"])
        row["right"] = max(row["right"], high)
        ends.append({**row, "low": low, "high": high})
    return ends


def _content_axis(
    outcome: Outcome, rows: list[dict[str, Any]], ends: list[dict[str, Any]], how: Writing
) -> Spec:
    values = [row[key] for row in rows for key in ("start", "right")]
    values += [row["low"] for row in ends]
    claimed = outcome.experiment.sample.claimed_mass_fraction
    if claimed is not None:
        values.append(100.0 * claimed.value)
    low, high = min(values), max(values)
    room = high - low if high > low else 1.0
    x = axis_x("content", how("charts.content"), [low - 0.06 * room, high + 0.2 * room])
    x["axis"] |= {"tickCount": 6, "grid": True}
    return x


def _claim_layers(outcome: Outcome, x: Spec, how: Writing) -> list[Spec]:
    claimed = outcome.experiment.sample.claimed_mass_fraction
    if claimed is None:
        return []
    number = numbers.plain(100.0 * claimed.value, 0.0, how.style)
    said = how("charts.claim", percent=numbers.with_unit(number, "%", how.style))
    row = [{"content": 100.0 * claimed.value, "said": said}]
    return [
        layer(row, rule("ink", dash=(6, 3)), x=x),
        layer(row, text("ink", size=11, dy=-7, baseline="bottom", align="center"), x=x,
              y={"value": 0}, text={"field": "said"}),
    ]  # fmt: skip


def _links(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [{**row, "next": row["order"] + 1} for row in rows[:-1]]


def _label_expression(drops: tuple[Drop, ...]) -> str:
    """Return the labels of the axis as an expression: two bars may not share a name."""
    return f"{json.dumps([drop.label for drop in drops])}[datum.value]"


def ph(
    outcome: Outcome, *, width: int = 560, height: int = 150, how: Writing = ENGLISH
) -> Spec | None:
    """Return the pH at the last weighing along the row.

    Parameters
    ----------
    outcome : Outcome
    width, height : int, [px]
        Of the plot.
    how : Writing

    Returns
    -------
    dict or None
        None where the model was not fitted or knows no equilibrium for the reaction.
    """
    full = outcome.full.series
    if full is None:
        return None
    words = axis_words(outcome.experiment, how)
    rows = [{"x": band_place(p, words), "ph": p.ph} for p in full.band if p.ph is not None]
    drawn = _ph_points(outcome)
    if not rows or not drawn:
        return None
    x_most = 1.06 * max(row["x"] for row in drawn)
    rows = [row for row in rows if row["x"] <= x_most]
    low = min(0.0, *(row["ph_low"] for row in drawn), *(row["ph"] for row in rows))
    high = max(row["ph_high"] for row in (*drawn, *({"ph_high": row["ph"]} for row in rows)))
    x = axis_x("x", words.title, [0, x_most])
    y = axis_y("ph", how("charts.ph"), [low, high + 0.6], ticks=5)
    at = [{"x": words.place(full.meets_at.value)}]
    said = how("charts.equivalence")
    layers = [
        layer(at, rule("soft", dash=(2, 3)), x=x),
        layer(at, text("soft", size=11, dx=6, dy=8, align="left", text=said), x=x, y={"value": 0}),
        layer(rows, {**line("ink"), "strokeWidth": 1.4}, x=x, y=y),
        layer(drawn, rule("ink"), x=x, y=renamed(y, "ph_low"), y2={"field": "ph_high"}),
        *points(drawn, x, y),
        layer(drawn, text("soft", size=11, dx=7, dy=-9, align="left"), x=x, y=y,
              text={"field": "label"}),
    ]  # fmt: skip
    return chart(layers, width, height, how.style)


def _ph_points(outcome: Outcome) -> list[dict[str, Any]]:
    words = axis_words(outcome.experiment)
    axis = words.axis
    drawn = []
    for result in run_results(outcome):
        full = result.full
        read = {r.reading: r.observed for r in full.residuals} if full else {}
        if full is None or full.ph is None or not {"reagent_mL", "sample_g"} <= read.keys():
            continue
        volume, sample = read["reagent_mL"], read["sample_g"]
        grown, same = (volume, sample) if axis.grows == "reagent" else (sample, volume)
        if same <= 0.0:
            # A blank cup has no place on an axis of reagent per sample.
            continue
        value = full.ph.value
        bar = COVERAGE * full.ph.u if full.ph.u <= PH_KNOWN else 0.0
        drawn.append(
            {
                "label": result.run,
                "kind": "not used" if full.extrapolated else kind_of(full.p_reagent_limiting),
                "x": words.place(grown) * axis.fixed / same,
                "ph": value,
                "ph_low": value - bar,
                "ph_high": value + bar,
            }
        )
    return drawn


def ph_note(outcome: Outcome, how: Writing = ENGLISH) -> str:
    """Return what needs saying under the chart of the pH; empty where there is none."""
    drawn = _ph_points(outcome)
    if not drawn or outcome.full.series is None:
        return ""
    note = how("charts.ph_note")
    if any(run.extrapolated for run in outcome.full.runs):
        note = f"{note} {how('charts.ph_hollow')}"
    return note
