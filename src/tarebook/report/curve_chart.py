"""The chart of the row: mass lost against what grows, with the lines, the model and its band."""

from __future__ import annotations

import math
from typing import Any

from tarebook.records.readings import Quantity
from tarebook.reduction.results import UsualSeries
from tarebook.report import numbers
from tarebook.report.axis_words import AxisWords, axis_words
from tarebook.report.drawing import (
    PALETTE,
    PHONE,
    Spec,
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
from tarebook.report.model_charts import COVERAGE, band_place, curve_layers, gas_made
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import run_results

FOOT = 0.06
"""Part of the highest point below which a run that is not used has its label above."""

FAR = 1.2
"""A run that is not used is drawn in its place up to this multiple of the highest other one."""

KEY = {"reagent limits": "", "sample limits": "sample", "not sure": "not_sure",
       "not used": "not_used"}  # fmt: skip
"""What each mark means: ends of the keys of the messages; the first goes by what limits there."""

COLOUR = {"reagent": "rise", "acid": "rise", "sample": "level"}
"""Of a line, by what limits along it: that of its points."""


def curve(
    outcome: Outcome, *, width: int = 560, height: int = 320, how: Writing = ENGLISH
) -> Spec | None:
    """Return the chart of the series: mass lost against what grows along the row.

    Parameters
    ----------
    outcome : Outcome
    width, height : int, [px]
        Of the plot.
    how : Writing

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
    drawn = [*used, *_other_points(outcome, x_top, y_top, how)]
    x_most = 1.06 * max(point["x_high"] for point in drawn)
    made = [row for row in gas_made(outcome, _places(outcome)) if row["x"] <= x_most]
    y_most = 1.24 * max(*(point["y_high"] for point in drawn), *(row["made"] for row in made), 0.0)
    x = axis_x("x", axis_words(outcome.experiment, how).title, [0, x_most])
    y = axis_y("y", how("charts.lost"), [min(0.0, *(p["y_low"] for p in drawn)), y_most])
    tops = [*((p["x"], p["y_high"]) for p in drawn if p["kind"] != "not used"),
            *((row["x"], row["made"]) for row in made)]  # fmt: skip
    behind, before = _line_layers(outcome, tops, x, y, width, how)
    below, above = (text("soft", size=11, dx=8, dy=dy, align="left") for dy in (12, -10))
    high = [point for point in drawn if not point.get("at_the_foot")]
    foot = [point for point in drawn if point.get("at_the_foot")]
    layers = [
        *behind,
        *_made_layers(made, x, y, width, how),
        layer(drawn, rule("ink"), x=renamed(x, "x_low"), x2={"field": "x_high"}, y=y),
        layer(drawn, rule("ink"), x=x, y=renamed(y, "y_low"), y2={"field": "y_high"}),
        *points(drawn, x, y),
        *(
            layer(rows, mark, x=x, y=y, text={"field": "label"})
            for rows, name in ((high, below), (foot, above))
            for mark in (halo(name), name)
            if rows
        ),
        *before,
    ]
    return chart(layers, width, height, how.style)


def _made_layers(
    made: list[dict[str, Any]], x: Spec, y: Spec, width: int, how: Writing
) -> list[Spec]:
    """Return a dash for the gas that each run made, above the mass that it lost."""
    if not made:
        return []
    dash: Spec = {"type": "tick", "orient": "horizontal", "size": 13, "thickness": 2,
                  "color": PALETTE["ink"]}  # fmt: skip
    named = sorted(made, key=lambda row: row["x"])[len(made) // 4]
    said = how("charts.made" if width < PHONE else "charts.made_by_model")
    return [
        layer(made, rule("soft"), x=x, y=renamed(y, "lost"), y2={"field": "made"}),
        layer(made, dash, x=x, y=renamed(y, "made")),
        layer([named], text("ink", size=11, dx=-11, dy=-6, align="right", text=said), x=x,
              y=renamed(y, "made")),
    ]  # fmt: skip


def curve_key(outcome: Outcome, how: Writing = ENGLISH) -> str:
    """Return what the marks of `curve` mean, those that it shows; empty if there is no curve."""
    used = _used_points(outcome)
    if not used:
        return ""
    x_top, y_top = (max(point[end] for point in used) for end in ("x_high", "y_high"))
    drawn = {point["kind"] for point in (*used, *_other_points(outcome, x_top, y_top, how))}
    words = axis_words(outcome.experiment, how)
    marks = [how(f"charts.mark_{end or words.acid}") for kind, end in KEY.items() if kind in drawn]
    if words.acid == "acid" and "reagent limits" in drawn:
        marks.append(how("charts.all_acid"))
    usual, full = outcome.usual.series, outcome.full.series
    parts = [how("charts.key", grows=words.axis.grows)]
    if full:
        parts.append(how("charts.key_model"))
        if usual:
            parts.append(how("charts.key_lines"))
        parts.append(how("charts.key_made"))
    parts.append(how("charts.key_band" if usual or full else "charts.key_bars"))
    parts.append(how("charts.key_marks", marks="; ".join(marks)))
    return " ".join(parts)


def _line_layers(
    outcome: Outcome,
    tops: list[tuple[float, float]],
    x: Spec,
    y: Spec,
    width: int,
    how: Writing,
) -> tuple[list[Spec], list[Spec]]:
    """Return lines and band, to stand behind the points, and their labels."""
    usual, full = outcome.usual.series, outcome.full.series
    series = full or usual
    if series is None:
        return [], []
    x_most = x["scale"]["domain"][1]
    words, place = axis_words(outcome.experiment, how), series.meets_at
    at, low, high = (words.place(end) for end in (place.value, place.low, place.high))
    if not 0.0 <= at <= x_most:
        # Far beyond the row: neither it nor what stands beside it has a place in the picture.
        return ([] if full is None else curve_layers(full, words, x, y, COLOUR)), []
    behind: list[Spec] = [
        layer([{"low": max(low, 0.0), "high": min(high, x_most)}],
              {"type": "rect", "color": PALETTE["band"]},
              x=renamed(x, "low"), x2={"field": "high"}),
        layer([{"x": at}], rule("soft", dash=(2, 3)), x=x),
    ]  # fmt: skip
    if full is not None:
        behind += curve_layers(full, words, x, y, COLOUR)
    if usual is not None and 0.0 <= words.place(usual.meets_at.value) <= x_most:
        behind += _usual_lines(usual, words, x, y, thin=full is not None)
    labels = _equivalence_labels(outcome, x, y, width, how)
    below = full is not None
    middle = [{"x": 0.56 * at, "y": _height(outcome, words, 0.56 * at)}]
    aside: dict[str, Any] = (
        {"dx": 12, "dy": 12, "align": "left"} if below else {"dx": -12, "dy": -8, "align": "right"}
    )
    rising = text(COLOUR[words.rising], text=how("charts.limits", what=words.rising), **aside)
    labels += [layer(middle, mark, x=x, y=y) for mark in (halo(rising), rising)]
    labels += _beyond_label(outcome, words, tops, at, x, y)
    return behind, labels


def _beyond_label(
    outcome: Outcome, words: AxisWords, tops: list[tuple[float, float]], at: float, x: Spec, y: Spec
) -> list[Spec]:
    """Return what limits beyond the equivalence point: above a level line, beside a falling one."""
    x_most = x["scale"]["domain"][1]
    said = words.how("charts.limits", what=words.beyond)
    colour = COLOUR[words.beyond]
    if words.falls:
        half = at + 0.3 * (x_most - at)
        row = {"x": half, "y": _height(outcome, words, half)}
        mark = text(colour, dx=24, dy=-26, align="left", text=said)
        return [layer([row], each, x=x, y=y) for each in (halo(mark), mark)]
    over = max((top for place, top in tops if place > at), default=y["scale"]["domain"][1] / 1.24)
    mark = text(colour, dy=-12, align="right", text=said)
    return [layer([{"x": x_most, "y": over}], mark, x=x, y=y)]


def _usual_lines(
    usual: UsualSeries, words: AxisWords, x: Spec, y: Spec, *, thin: bool
) -> list[Spec]:
    """Return the two lines of the textbook calculation; thin, dashed beside the model's."""
    at, end = words.place(usual.meets_at.value), x["scale"]["domain"][1]
    start, level = _levels(usual)
    foot = max(0.0, -start * at / (level - start))
    rise = [{"x": foot, "y": max(start, 0.0)}, {"x": at, "y": level}]
    last = _beyond(usual, words, end)
    if last < 0.0:  # a falling line ends where no gas is left
        end, last = at + (end - at) * level / (level - last), 0.0
    flat = [{"x": at, "y": level}, {"x": end, "y": last}]
    if thin:
        both = [rise[0], *flat]
        return [layer(both, line("ink", width=1.0, dash=(4, 3)), x=x, y=y)]
    return [
        layer(rise, line(COLOUR[words.rising]), x=x, y=y),
        layer(flat, line(COLOUR[words.beyond], dash=(7, 4)), x=x, y=y),
    ]


def _levels(usual: UsualSeries) -> tuple[float, float]:
    """Return start and height at the break of the two lines, as the picture has them, [g]."""
    return usual.axis.portion * usual.fit.intercept, usual.axis.portion * usual.fit.plateau


def _beyond(usual: UsualSeries, words: AxisWords, place: float) -> float:
    """Return the height of the right one of the two lines at a place on the axis, [g]."""
    _, level = _levels(usual)
    if words.axis.grows == "reagent":
        return level
    return level + usual.fit.right_slope * (place - usual.meets_at.value)


def _height(outcome: Outcome, words: AxisWords, place: float) -> float:
    """Return the mass lost at a place on the axis, by the model's curve or by the two lines."""
    full, usual = outcome.full.series, outcome.usual.series
    if full is not None and full.band:
        return min(full.band, key=lambda point: abs(band_place(point, words) - place)).lost
    if usual is None:
        return 0.0
    start, level = _levels(usual)
    at = words.place(usual.meets_at.value)
    return start + (level - start) * place / at if place <= at else _beyond(usual, words, place)


def _equivalence_labels(outcome: Outcome, x: Spec, y: Spec, width: int, how: Writing) -> list[Spec]:
    """Return where both reactants are used up: the main result on top, the textbook's below."""
    usual, full = outcome.usual.series, outcome.full.series
    series = full or usual
    if series is None:
        return []
    x_most, y_most = x["scale"]["domain"][1], y["scale"]["domain"][1]
    words = axis_words(outcome.experiment, how)
    at = words.place(series.meets_at.value)
    wrap = "\n" if width < PHONE else " "
    on_right = at < 0.6 * x_most
    placing: dict[str, Any] = (
        {"dx": 7, "align": "left"} if on_right else {"dx": -7, "align": "right"}
    )
    said = f"{how('charts.equivalence')}{wrap}{words.at(series.meets_at)}"
    labels = [
        layer([{"x": at, "y": y_most, "said": said}],
              text("ink", weight="600", dy=9, lineBreak="\n", **placing),
              x=x, y=y, text={"field": "said"}),
    ]  # fmt: skip
    there = math.inf if usual is None else words.place(usual.meets_at.value)
    if full is not None and usual is not None and 0.0 <= there <= x_most:
        meet = how("charts.meet", wrap=wrap, found=words.at(usual.meets_at))
        bottom = y["scale"]["domain"][0]
        mark = text("soft", size=11, dy=-36 if width < PHONE else -10, lineBreak="\n", **placing)
        labels += [
            layer([{"x": there, "y": bottom, "said": meet}], each, x=x, y=y, text={"field": "said"})
            # A falling line comes down through these words.
            for each in ((halo(mark), mark) if words.falls else (mark,))
        ]
    return labels


def _used_points(outcome: Outcome) -> list[dict[str, Any]]:
    """Return the runs that the lines use; without lines, all that have amounts."""
    series, words = outcome.usual.series, axis_words(outcome.experiment)
    chance = {
        result.run: result.p_reagent_limiting
        for result in run_results(outcome)
        if result.p_reagent_limiting is not None
    }
    if series is None:
        u_gas = {run.run: run.gas_found.u for run in outcome.usual.runs}
        return [
            {**place, "label": run, "kind": kind_of(chance.get(run, 0.5)),
             "y_low": place["y"] - COVERAGE * u_gas[run] * place["scale"],
             "y_high": place["y"] + COVERAGE * u_gas[run] * place["scale"]}
            for run, place in _places(outcome).items()
            if run in u_gas
        ]  # fmt: skip
    return [
        {
            "label": point.run,
            "kind": kind_of(chance.get(point.run, 0.5)),
            "x": words.place(point.grown),
            "x_low": words.place(point.grown - COVERAGE * point.u_grown),
            "x_high": words.place(point.grown + COVERAGE * point.u_grown),
            "y": point.gas,
            "y_low": point.gas - COVERAGE * point.u_gas,
            "y_high": point.gas + COVERAGE * point.u_gas,
        }
        for point in series.curve
    ]


def _other_points(
    outcome: Outcome, x_top: float, y_top: float, how: Writing
) -> list[dict[str, Any]]:
    """Return the runs that the lines do not use but that have a place in the picture.

    One that lies far above or below stands at the edge, with its gas beside it.
    """
    series = outcome.usual.series
    used = {point.run for point in series.curve} if series else {r.run for r in outcome.usual.runs}
    if outcome.usual.axis.grows == "sample":
        x_top = max(x_top, *(planned.sample for planned in outcome.experiment.planned))
    drawn = []
    for run, place in _places(outcome).items():
        if run in used or not 0 <= place["x"] <= FAR * x_top:
            continue
        blank = outcome.experiment.sample_asked(run) == 0.0
        label, y = how("charts.no_sample" if blank else "charts.not_used", run=run), place["y"]
        if not 0 <= y <= FAR * y_top:
            label = f"{label}: {numbers.plain(y, 0.0, how.style)} g {'↑' if y > 0 else '↓'}"
            y = FAR * y_top if y > 0 else 0.0
        drawn.append({**place, "label": label, "kind": "not used", "y": y, "y_low": y,
                      "y_high": y, "at_the_foot": y < FOOT * y_top})  # fmt: skip
    return drawn


def _places(outcome: Outcome) -> dict[str, dict[str, Any]]:
    """Return where each run stands by its readings alone, per portion of what stays the same."""
    words = axis_words(outcome.experiment)
    fixed, by_reagent = words.axis.fixed, words.axis.grows == "reagent"
    wanted = (Quantity.REAGENT, Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
    places = {}
    for run in outcome.table.runs:
        read = [[reading.value for reading in outcome.table.of(run, what)] for what in wanted]
        if not all(read):
            continue
        volume, filled, sample, final = (sum(values) / len(values) for values in read)
        grown, same = (volume, sample) if by_reagent else (sample, volume)
        if same <= 0:
            continue
        x = words.place(grown) * fixed / same
        y = (filled + sample - final) * fixed / same
        places[run] = {"x": x, "x_low": x, "x_high": x, "y": y, "scale": fixed / same}
    return places
