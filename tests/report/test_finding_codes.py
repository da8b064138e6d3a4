"""The page of all codes is as it would be written, and an example that nobody needs is found."""

from __future__ import annotations

import tomllib

from scripts.finding_codes.__main__ import EXAMPLES, PAGE, codes, example, page


def test_the_page_of_codes_is_what_the_program_says_now() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), "run python -m scripts.finding_codes"


def test_every_code_has_its_line_and_every_example_its_code() -> None:
    assert len(codes()) > 100
    assert set(tomllib.loads(EXAMPLES.read_text(encoding="utf-8"))) <= codes()
    for code in codes():
        said, _ = example(code)
        assert len(said.split()) > 3, code
        assert "… " not in said, f"{code}: an example lacks a value: {said}"
