"""Make the fonts of the pages from those of the prints: fewer characters, packed for the web.

    python -m scripts.make_fonts

The pages need Latin letters with all their accents, Greek, punctuation, indices, arrows and signs;
what else is written there (a name in another script) is shown in a font of the reader's system. The
license reserves the name of the original for the original, so what is made here has another one.
"""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from fontTools import subset

TOP = Path(__file__).resolve().parent.parent
FONTS = TOP / "src" / "tarebook" / "report" / "fonts"
WEB = TOP / "src" / "tarebook" / "report" / "webfonts"

NAME = "Tarebook Sans"
RESERVED = "IBM Plex Sans"
CUTS = {"IBMPlexSans-Regular.ttf": "Regular", "IBMPlexSans-SemiBold.ttf": "SemiBold"}
KEPT = (
    (0x0020, 0x024F),  # Latin
    (0x02B0, 0x036F),  # accents that stand by themselves or are put above
    (0x0370, 0x03FF),  # Greek
    (0x1E00, 0x1EFF),  # Latin with two accents
    (0x2000, 0x2BFF),  # punctuation, indices, currencies, arrows, signs of mathematics, shapes
)
"""First and last of the characters that are kept."""


def web_font(original: Path, cut: str, place: Path) -> None:
    """Write the font of a page.

    Parameters
    ----------
    original : Path
    cut : str
        Such as ``"Regular"``.
    place : Path
        WOFF2.
    """
    options = subset.Options(flavor="woff2", layout_features=["*"], name_IDs=["*"], hinting=False)
    with closing(subset.load_font(str(original), options)) as font:
        maker = subset.Subsetter(options)
        maker.populate(unicodes=[code for first, last in KEPT for code in range(first, last + 1)])
        maker.subset(font)
        for record in font["name"].names:
            # Trademark, license and who made it stay as they are.
            if record.nameID in (1, 4, 16):
                record.string = str(record).replace(RESERVED, NAME)
            elif record.nameID in (3, 6):
                record.string = f"{NAME.replace(' ', '')}-{cut}"
        subset.save_font(font, str(place), options)


def main() -> None:
    """Make them all."""
    WEB.mkdir(exist_ok=True)
    for name, cut in CUTS.items():
        place = WEB / f"TarebookSans-{cut}.woff2"
        web_font(FONTS / name, cut, place)
        print(f"{place.relative_to(TOP)}: {place.stat().st_size} bytes")


if __name__ == "__main__":
    main()
