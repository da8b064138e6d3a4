"""The check that nothing in src is used by tests alone finds what is."""

from __future__ import annotations

from pathlib import Path

from scripts.live import CALLED_BY_A_LIBRARY, unused


def test_what_nothing_names_is_found(tmp_path: Path) -> None:
    src = tmp_path / "src"
    src.mkdir()
    (src / "part.py").write_text("def asked(): return 1\n\n\ndef nobody(): return asked()\n")
    assert unused(src) == {"nobody": "part.py:4: function"}


def test_in_src_only_libraries_call_what_nothing_names() -> None:
    assert set(unused()) == set(CALLED_BY_A_LIBRARY)
