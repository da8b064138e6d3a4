"""Write the list of licenses of all locked parts, docs/licenses/README.md.

Use:
    python -m scripts.licenses

A part that is installed brings its license files with it; the list says where they lie. For a part
that is not installed here (it is for another system), or whose package left the text out, the text
is kept in docs/licenses/NAME.txt, copied from the part's own release. The script stops at a part
without any license file.
"""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass
from importlib.metadata import Distribution, PackageNotFoundError, distribution

from scripts.locks import LOCKS, TOP, Part, parts

FOLDER = TOP / "docs" / "licenses"
PAGE = FOLDER / "README.md"

KEPT = {
    "colorama": "BSD-3-Clause",
    "fluent-runtime": "Apache-2.0",
    "fluent-syntax": "Apache-2.0",
    "httpx2-jsfetch": "BSD-3-Clause",
    "pyserial": "BSD-3-Clause",
    "pywin32": "PSF-2.0 and others, see the text",
    "sphinxcontrib-applehelp": "BSD-2-Clause",
    "sphinxcontrib-devhelp": "BSD-2-Clause",
    "sphinxcontrib-htmlhelp": "BSD-2-Clause",
    "sphinxcontrib-qthelp": "BSD-2-Clause",
    "sphinxcontrib-serializinghtml": "BSD-2-Clause",
}
"""Parts whose text is kept in the folder, by the license that it is."""

_LICENSE_FILE = re.compile(r"(licen[cs]e|copying|copyright)[^/]*$", re.IGNORECASE)
"""The last part of a path; the authors and the readme beside it are no license."""


@dataclass(frozen=True)
class Licensed:
    """A part, what its license is called, and the files that hold the text."""

    part: Part
    license: str
    files: tuple[str, ...]


class UnlicensedError(Exception):
    """Parts of the locks that come without a license file."""

    def __init__(self, found: list[Part]) -> None:
        self.found = found
        super().__init__(
            f"No license file: {', '.join(f'{part.name} {part.version}' for part in found)}. Put "
            f"the text of the release into {FOLDER.relative_to(TOP)}/NAME.txt and name it in KEPT, "
            "or do without the part."
        )


def licensed(part: Part) -> Licensed:
    """Return what is known of the license of a part, with no files if there are none."""
    kept = FOLDER / f"{part.name}.txt"
    if part.name in KEPT and kept.is_file():
        return Licensed(part, KEPT[part.name], (kept.name,))
    try:
        found = distribution(part.name)
    except PackageNotFoundError:
        return Licensed(part, "", ())
    return Licensed(part, _name(found), _files(found))


def _name(found: Distribution) -> str:
    """Return the license expression, else the short name, else that of the classifier."""
    for field in ("License-Expression", "License"):
        told = (found.metadata.get_all(field) or [""])[0]
        if told and "\n" not in told and len(told) < 60:
            return str(told)
    classes = [
        line.rsplit("::", 1)[-1].strip()
        for line in found.metadata.get_all("Classifier") or []
        if line.startswith("License ::")
    ]
    return "; ".join(classes) or "see the text"


def _files(found: Distribution) -> tuple[str, ...]:
    """Return the license files inside the part's own description, shortest path first."""
    names = {
        name.split(".dist-info/", 1)[1]
        for name in map(str, found.files or ())
        if ".dist-info/" in name
    }
    called = {name for name in names if _LICENSE_FILE.search(name)}
    beside = {name for name in names if name.startswith("licenses/") and "AUTHORS" not in name}
    return tuple(sorted(called or beside, key=lambda name: (name.count("/"), name.lower())))


def rows(found: list[Licensed]) -> dict[str, list[str]]:
    """Return the rows of the list, by what the parts are for."""
    tables: dict[str, list[str]] = {use: [] for use in LOCKS.values()}
    for one in found:
        first, *more = one.files
        text = f"[{first}]({first})" if one.part.name in KEPT else f"`{first}`"
        text += f" and {len(more)} more" if more else ""
        where = f"`{one.part.where}`" if one.part.where else ""
        tables[one.part.use].append(
            f"| {one.part.name} | {one.part.version} | {one.license} | {text} | {where} |"
        )
    return tables


VENDORED = (
    (
        "tweetnacl", "1.0.3", "Unlicense (public domain)", "src/tarebook/web/static/bench/nacl.js",
        "3ec535c004aeeb225785d8e93fb33bf99f52e399bd7dfc01969b5629baea5131",
    ),
    (
        "fluent-bundle", "0.19.1", "Apache-2.0", "src/tarebook/web/static/bench/fluent.js",
        "14195eac76fcc511a2ecb8900254ba146cda89f70a73fdb88a1215fd41b9ffcd",
    ),
)  # fmt: skip
"""Parts that stand in this repository as they were released, or shortened, which is said at their
head: the place and SHA-256 of each."""


def vendored_rows() -> list[str]:
    """Return the rows of the parts that stand in this repository; their texts are in the folder."""
    return [
        f"| {name} | {version} | {license_} | [{name}.txt]({name}.txt) | `{place}` |"
        for name, version, license_, place, _ in VENDORED
    ]


def page() -> str:
    """Return the list; a part without a license file is an error that names all of them."""
    found = [licensed(part) for part in parts()]
    if bare := [one.part for one in found if not one.files]:
        raise UnlicensedError(bare)
    lines = [
        "# Licenses of what Tarebook is built on",
        "",
        "Made by `python -m scripts.licenses` from the lock files. But for the last table, nothing",
        "of these parts is in this repository; they are installed beside it. *File*: the license",
        "text that the part brings, in its `.dist-info` folder once installed, or a copy in this",
        "folder where it brings none, is for another system or stands in this repository. The",
        "typeface in the prints is IBM Plex, under the SIL Open Font License",
        "(`src/tarebook/report/fonts/OFL.txt`); that of the pages is made of it by",
        "`python -m scripts.make_fonts`, under the same license and another name, as it asks.",
        "Tarebook itself: MIT, `LICENSE`.",
    ]
    for use, table in rows(found).items():
        lines += ["", f"## Parts {use}" if use.startswith("to ") else f"## Parts for {use}", ""]
        lines += [
            "| part | version | license | file | only where |",
            "| --- | --- | --- | --- | --- |",
        ]
        lines += table
    lines += ["", "## Parts that stand in this repository", ""]
    lines += ["| part | version | license | file | where |", "| --- | --- | --- | --- | --- |"]
    lines += vendored_rows()
    return "\n".join(lines) + "\n"


def main() -> int:
    """Write the list; 1 if a part has no license."""
    try:
        text = page()
    except UnlicensedError as error:
        print(error, file=sys.stderr)
        return 1
    PAGE.write_text(text, encoding="utf-8")
    print(f"{PAGE.relative_to(TOP)} written.")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
