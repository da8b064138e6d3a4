"""How charts look, and how a specification becomes SVG or PNG.

Colours come in pairs that colour-blind readers can tell apart, and shape or dash always says the
same thing as the colour, so that a grey print loses nothing. ``svg(..., adaptive=True)`` turns the
colours into CSS variables: the page then decides what is light and what is dark.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from functools import cache, lru_cache
from importlib import resources
from typing import Any, TypeAlias

import vl_convert

from tarebook.report.numbers import NumberStyle

Spec: TypeAlias = dict[str, Any]
Row: TypeAlias = Mapping[str, Any]

SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json"
VL_VERSION = "6.4"
FONT = "IBM Plex Sans, sans-serif"
"""The shipped font; a file that is opened where it is missing falls back to any sans."""

PALETTE: Mapping[str, str] = {
    "paper": "#ffffff",
    "ink": "#1b2528",
    "soft": "#586468",
    "rule": "#d3d8d5",
    "rise": "#0b5d73",
    "level": "#a4501a",
    "band": "#ece7d8",
}
"""Colours by what they mean; a page has a CSS variable ``--chart-NAME`` for each."""

KINDS: Mapping[str, tuple[str, str, bool]] = {
    "reagent limits": ("rise", "circle", True),
    "sample limits": ("level", "square", True),
    "not sure": ("ink", "diamond", True),
    "not used": ("soft", "circle", False),
}
"""Colour, shape and whether it is filled, for each kind of point."""


PHONE = 400
"""Below this width [px] the labels are set for a phone."""

SURE = 0.975
"""From this probability on a run is drawn as belonging to one line."""


def kind_of(p_reagent: float) -> str:
    """Return the kind of point of a run, by the probability that the reagent limits."""
    if p_reagent >= SURE:
        return "reagent limits"
    return "sample limits" if p_reagent <= 1.0 - SURE else "not sure"


@cache
def font_folder() -> tuple[str, ExitStack]:
    """Return the folder of the shipped fonts; it stays unpacked as long as the program runs."""
    stack = ExitStack()
    folder = stack.enter_context(resources.as_file(resources.files("tarebook.report") / "fonts"))
    return str(folder), stack


@cache
def _register_fonts() -> None:
    vl_convert.register_font_directory(font_folder()[0])


def svg(spec: Spec, *, adaptive: bool = False, prefix: str = "") -> str:
    """Return a chart as SVG.

    Parameters
    ----------
    spec : dict
        Vega-Lite specification.
    adaptive : bool
        Replace each colour of the palette by the CSS variable ``--chart-NAME``, for inline use.
    prefix : str
        Put before every id, so that several charts can stand in one page.
    """
    drawing = _drawn(json.dumps(spec))
    if prefix:
        drawing = re.sub(r'(id="|url\(#)', rf"\g<1>{prefix}-", drawing)
    if adaptive:
        for name, colour in PALETTE.items():
            drawing = drawing.replace(f'"{colour}"', f'"var(--chart-{name})"')
    return drawing


def png(spec: Spec, *, scale: float = 2.0) -> bytes:
    """Return a chart as PNG on white."""
    picture: bytes = vl_convert.svg_to_png(_drawn(json.dumps(spec)), scale=scale)
    return picture


# A report has most charts on its page, in its PDF and as a file: to draw one takes longest of all.
@lru_cache(maxsize=32)
def _drawn(spec: str) -> str:
    _register_fonts()
    drawing: str = vl_convert.vegalite_to_svg(spec, vl_version=VL_VERSION)
    return drawing


def chart(layers: Sequence[Spec], width: int, height: int, style: NumberStyle) -> Spec:
    """Return a whole specification of layers that share their axes."""
    return {
        "$schema": SCHEMA,
        "width": width,
        "height": height,
        "padding": {"left": 4, "right": 14, "top": 6, "bottom": 6},
        "layer": list(layers),
        "config": {
            "background": PALETTE["paper"],
            "font": FONT,
            "locale": {
                "number": {
                    "decimal": style.decimal,
                    "thousands": "",
                    "grouping": [3],
                    "currency": ["", ""],
                }
            },
            "view": {"stroke": None},
            "axis": {
                "domainColor": PALETTE["ink"],
                "tickColor": PALETTE["ink"],
                "gridColor": PALETTE["rule"],
                "gridWidth": 0.6,
                "labelColor": PALETTE["soft"],
                "labelFontSize": 11,
                "labelPadding": 5,
                "titleColor": PALETTE["ink"],
                "titleFontSize": 12,
                "titleFontWeight": "normal",
                "tickSize": 4,
            },
        },
    }


def layer(values: Sequence[Row], mark: Spec, **encoding: Spec) -> Spec:
    """Return one layer with data of its own."""
    return {"data": {"values": list(values)}, "mark": mark, "encoding": encoding}


def axis_x(field: str, title: str, domain: Sequence[float]) -> Spec:
    """Return a measured x axis."""
    return {
        "field": field,
        "type": "quantitative",
        "scale": {"domain": list(domain), "nice": False, "zero": False},
        "axis": {"title": title, "tickCount": 8, "grid": False, "titlePadding": 10,
                 "titleAnchor": "end"},
    }  # fmt: skip


def axis_y(field: str, title: str, domain: Sequence[float], ticks: int = 6) -> Spec:
    """Return a measured y axis with its title lying flat above it."""
    return {
        "field": field,
        "type": "quantitative",
        "scale": {"domain": list(domain), "nice": False, "zero": False},
        "axis": {"title": title, "tickCount": ticks, "grid": True, "domain": False,
                 "ticks": False, "titleAngle": 0, "titleAlign": "left", "titleAnchor": "start",
                 "titleBaseline": "bottom", "titleX": -34, "titleY": -12},
    }  # fmt: skip


def axis_runs(title: str = "run") -> Spec:
    """Return an x axis with the names of the runs in the order of the sheet."""
    return {
        "field": "run",
        "type": "nominal",
        "sort": {"field": "order"},
        "axis": {"title": title, "labelAngle": 0, "grid": False, "ticks": False,
                 "titleAnchor": "end", "titlePadding": 6},
    }  # fmt: skip


def renamed(channel: Spec, field: str) -> Spec:
    """Return the same axis for another field."""
    return {**channel, "field": field}


def rule(colour: str, *, width: float = 1.0, dash: Sequence[int] = ()) -> Spec:
    """Return a mark for straight lines across or between two values."""
    mark: Spec = {"type": "rule", "color": PALETTE[colour], "strokeWidth": width}
    return mark | ({"strokeDash": list(dash)} if dash else {})


def area(colour: str) -> Spec:
    """Return a mark for the band between two lines."""
    return {"type": "area", "color": PALETTE[colour], "opacity": 1}


def line(colour: str, *, width: float = 2.2, dash: Sequence[int] = ()) -> Spec:
    """Return a mark for a fitted line."""
    mark: Spec = {"type": "line", "color": PALETTE[colour], "strokeWidth": width}
    return mark | ({"strokeDash": list(dash)} if dash else {})


def text(colour: str, *, size: int = 12, weight: str = "normal", **placing: Any) -> Spec:
    """Return a mark for words in the picture."""
    return {
        "type": "text",
        "color": PALETTE[colour],
        "fontSize": size,
        "fontWeight": weight,
        "baseline": "middle",
        **placing,
    }


def halo(mark: Spec) -> Spec:
    """Return the ground of a text mark, in the colour of the paper: lines stop short of the words.

    A layer with it stands behind the one with the mark itself.
    """
    paper = PALETTE["paper"]
    return {**mark, "color": paper, "stroke": paper, "strokeWidth": 4, "strokeJoin": "round"}


def points(rows: Sequence[Row], x: Spec, y: Spec) -> list[Spec]:
    """Return one layer for each kind of point: colour and shape say the same thing."""
    layers = []
    for kind, (colour, shape, filled) in KINDS.items():
        chosen = [row for row in rows if row["kind"] == kind]
        if not chosen:
            continue
        mark: Spec = {
            "type": "point",
            "shape": shape,
            "size": 110 if shape == "diamond" else 64,
            "opacity": 1,
            "fill": PALETTE[colour if filled else "paper"],
            "stroke": PALETTE["paper" if filled else colour],
            "strokeWidth": 1.2,
        }
        layers.append(layer(chosen, mark, x=x, y=y))
    return layers
