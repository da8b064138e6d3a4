"""Hazard pictograms, drawn here after the open standard.

The UN GHS (ST/SG/AC.10/30), 1.4.10.4 and Annex 1: a square set on a point, a black symbol on white
in a red frame wide enough to be seen. The symbols were drawn for this project from the standard's
names and descriptions; a label of the supplier's own remains the better one where there is one.
"""

from __future__ import annotations

RED = "#d2232a"
FRAME = 5.5
"""Width of the frame, in hundredths of the diamond's height."""

_FLAME = (
    "M50 20C53 28 61 33 63 42C65 38 65.5 35 65 31C71 38 73 45 72 52C71 62 62 68 50 68"
    "C38 68 29 62 28 52C27.5 46 30 41 34 37C34 41 35.5 44 38 46C38 36 45 30 50 20Z"
    "M50 64C57 64 61 60 61 54.5C61 50 58.5 47.5 57.5 44C55.5 46 54.5 48 54 50.5"
    "C52 46 51 43 51.5 38C46 43 44.5 47 44.5 51C43 50 42 48.5 41.5 46.5"
    "C39.5 49 38.5 51.5 38.5 54.5C38.5 60 43 64 50 64Z"
)

_SYMBOLS = {
    # A flame standing on a line.
    "GHS02": (
        '<g transform="translate(6 3.5) scale(.88)">'
        f'<path fill-rule="evenodd" d="{_FLAME}"/><path d="M29 71.5h42v4.5h-42z"/></g>'
    ),
    # A flame on a ring, standing on a line.
    "GHS03": (
        '<g transform="translate(9 6) scale(.82)">'
        f'<g transform="translate(14.5 3.5) scale(.71)"><path fill-rule="evenodd" d="{_FLAME}"/>'
        "</g>"
        '<circle cx="50" cy="62" r="11.2" fill="none" stroke="#000" stroke-width="4.6"/>'
        '<path d="M32 77h36v4h-36z"/></g>'
    ),
    # Two tilted test tubes; one drips onto a bar of metal, the other onto a hand.
    "GHS05": (
        '<g transform="translate(10 6.5) scale(.8)">'
        '<g fill="none" stroke="#000" stroke-width="2" stroke-linejoin="round">'
        '<path d="M42.5 27.5L27.6 38.6L31.2 43.4L46.2 32.3A3 3 0 0 0 42.5 27.5Z" fill="#fff"/>'
        '<path d="M57.5 27.5L72.4 38.6L68.8 43.4L53.8 32.3A3 3 0 0 1 57.5 27.5Z" fill="#fff"/>'
        "</g>"
        '<path d="M37.5 31.2L27.6 38.6L31.2 43.4L38 38.4Z"/>'
        '<path d="M62.5 31.2L72.4 38.6L68.8 43.4L62 38.4Z"/>'
        '<path d="M28.6 44.6c1.6 2.6 2 3.6 2 4.6a2 2 0 0 1-4 0c0-1 .4-2 2-4.6z"/>'
        '<path d="M30.3 51.6c1.4 2.2 1.7 3.2 1.7 4a1.7 1.7 0 0 1-3.4 0c0-.8.3-1.8 1.7-4z"/>'
        '<path d="M71.4 44.6c1.6 2.6 2 3.6 2 4.6a2 2 0 0 1-4 0c0-1 .4-2 2-4.6z"/>'
        '<path d="M69.7 50.6c1.4 2.2 1.7 3.2 1.7 4a1.7 1.7 0 0 1-3.4 0c0-.8.3-1.8 1.7-4z"/>'
        '<path d="M17 62h9.2l1.4 3.2 1.6-1.4 1.5 4 2-3.2 1.6 1.8 1.6-4.4H47v9.4H17z"/>'
        '<g fill="none" stroke="#000" stroke-width="1.3" stroke-linecap="round">'
        '<path d="M24.5 59.4c-1.6-1.6 1.2-2.6-.2-4.6M36.2 59.4c-1.6-1.6 1.2-2.6-.2-4.6"/>'
        '<path d="M63.6 58.2c-1.6-1.6 1.2-2.6-.2-4.6M76 58.6c-1.6-1.6 1.2-2.6-.2-4.6"/>'
        "</g>"
        '<path d="M52 67.4c3.4-2 5.6-4.6 8.6-5.2l4.6-.6 2.1 2.2 1.8-1 1.4 2 2-2.6 2.5-.6'
        "c2.2-.4 3 1.6 1.2 2.6l-3 1.6h9c2.4 0 2.6 3 .4 3.3l-6.4.6 3.4.5c2.2.4 1.8 3.2-.4 3.1"
        'l-14.6-.5c-2.8-.1-4.8 1.5-7.6 1.9l-5 .1z"/></g>'
    ),
    # A skull, two bones crossed beneath it.
    "GHS06": (
        '<g transform="translate(4 4.5) scale(.92)">'
        '<g stroke="#000" stroke-width="4.2" stroke-linecap="round">'
        '<path d="M30 61L61 74M70 61L39 74"/></g>'
        '<circle cx="28.2" cy="61.9" r="2.9"/><circle cx="30.4" cy="58.3" r="2.9"/>'
        '<circle cx="71.8" cy="61.9" r="2.9"/><circle cx="69.6" cy="58.3" r="2.9"/>'
        '<circle cx="62.6" cy="72.6" r="2.9"/><circle cx="60.4" cy="76.2" r="2.9"/>'
        '<circle cx="37.4" cy="72.6" r="2.9"/><circle cx="39.6" cy="76.2" r="2.9"/>'
        '<path stroke="#fff" stroke-width="1.6" d="M50 18C62 18 69 26 69 36C69 41 67 44.4 64.5 46.5'
        "C63.4 47.6 63.6 49.6 63 51.4C62.4 53 61 53.6 59.4 53.8L59 60.4"
        "C58.8 62.6 57.4 63.6 55.4 63.6"
        "L44.6 63.6C42.6 63.6 41.2 62.6 41 60.4L40.6 53.8C39 53.6 37.6 53 37 51.4"
        "C36.4 49.6 36.6 47.6"
        ' 35.5 46.5C33 44.4 31 41 31 36C31 26 38 18 50 18Z"/>'
        '<g fill="#fff"><ellipse cx="42" cy="39" rx="5" ry="4.8"/>'
        '<ellipse cx="58" cy="39" rx="5" ry="4.8"/><path d="M50 44.5L53.2 50.4L50 49.6L46.8 50.4'
        'Z"/></g>'
        '<path stroke="#fff" stroke-width="1.2" d="M45.6 55.4v7.4M50 55.8v7.4M54.4 55.4v7.4"/></g>'
    ),
    # An exclamation mark.
    "GHS07": (
        '<path d="M50 21.5c4.7 0 7.9 3.6 7.5 8.4l-3 27.6c-.3 2.8-2 4.4-4.5 4.4s-4.2-1.6-4.5-4.4'
        'l-3-27.6c-.4-4.8 2.8-8.4 7.5-8.4z"/><circle cx="50" cy="72" r="6.6"/>'
    ),
    # Head and chest of a person, a white star burst on the chest.
    "GHS08": (
        '<ellipse cx="50" cy="27.5" rx="8" ry="9.4"/>'
        '<path d="M45.2 34h9.6l.6 6.6C62 43 67 44.4 69.6 48C71.6 51 72.2 56.6 72.6 61.6'
        "L60.6 75.4H39.4"
        'L27.4 61.6C27.8 56.6 28.4 51 30.4 48C33 44.4 38 43 44.6 40.6z"/>'
        '<path fill="#fff" d="M50.0 44.0L51.8 53.9L61.3 50.5L53.6 57.0L61.3 63.5L51.8 60.1'
        'L50.0 70.0L48.2 60.1L38.7 63.5L46.4 57.0L38.7 50.5L48.2 53.9Z"/>'
    ),
    # A bare tree on the shore, a dead fish beside it.
    "GHS09": (
        '<g transform="translate(-1.5 -2.5) scale(1.03)">'
        '<path d="M26.5 64.6C31 61.6 36 62.8 38.4 63.2L39.6 50L41.4 43.6L44 44.4L43.4 51L44.4 63.4'
        "C47 63.6 49 65 50.4 67C46 69.4 43 69 39 69.6C35 70.2 31 68.8 26.5 64.6Z"
        '"/>'
        '<g fill="none" stroke="#000" stroke-linecap="round" stroke-linejoin="round">'
        '<path stroke-width="2.6" d="M42.2 46.5L36.6 37.4L36 30M42.8 46L47.4 36L47 25.5"/>'
        '<path stroke-width="1.8" d="M41 54L33.4 47.6L28.6 47.4M43.4 52L50.4 45.2L55 44.6"/>'
        '<path stroke-width="1.5" d="M36.9 38.4L31.2 35.2M47 37L53.6 31.2M50.4 34V28.4M47.1 30'
        "L43.4 26"
        'M36.2 33.4L39.6 29M34.2 48.2L32.8 43M49.6 46L50.6 50"/>'
        "</g>"
        '<path d="M50 64.4C54.4 56.4 65 54.6 71.6 62.2C66 70.4 55.6 71.4 50 64.4Z"/>'
        '<path d="M54 63.8L46.6 57.4C47.8 60.4 48.4 62 48.2 64.2C48.2 66.6 47.4 69.4 46.4 72.6Z"/>'
        '<path d="M57.6 58.4L61.6 53.8L64.4 58.8zM58 69.4L61 73.4L63.6 68.6z"/>'
        '<circle cx="67.2" cy="63.4" r="1.7" fill="#fff"/>'
        '<path fill="none" stroke="#fff" stroke-width="1.1" d="M63.4 57.6'
        'C61.4 60.6 61.4 64.6 63.6 68"/></g>'
    ),
}

DRAWN = tuple(_SYMBOLS)
"""Codes that are drawn here: all that the hazard table knows; any other is named in words."""


def pictogram(code: str) -> str:
    """Return a pictogram as SVG, 100 units high.

    Parameters
    ----------
    code : str
        One of `DRAWN`.

    Raises
    ------
    KeyError
        If it is not drawn here.
    """
    inner = FRAME * 2**0.5 / 2
    top, bottom = inner, 100 - inner
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">'
        f'<path d="M50 {top:.2f}L{bottom:.2f} 50L50 {bottom:.2f}L{top:.2f} 50Z" fill="#fff" '
        f'stroke="{RED}" stroke-width="{FRAME}" stroke-linejoin="miter"/>'
        f"{_SYMBOLS[code]}</svg>"
    )
