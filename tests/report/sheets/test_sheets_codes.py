"""The code on a sheet, read back by a decoder that shares nothing with the one that wrote it."""

from __future__ import annotations

import string
from collections.abc import Callable

import pypdfium2
import pytest
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st
from tests.run_codes import RunCode, read_run_code

from tarebook.core.errors import InputError
from tarebook.report.sheets.bench import bench_sheets
from tarebook.report.sheets.codes import check_address, run_code
from tarebook.report.sheets.labels import labels
from tarebook.report.sheets.setting import Setting

SettingOf = Callable[..., Setting]
NAMES = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=20)


@given(
    group=NAMES, run=NAMES, address=st.sampled_from(["", "http://10.0.0.5:8000", "https://x/y/"])
)
def test_what_is_written_is_read_again(group: str, run: str, address: str) -> None:
    code = run_code("0123456789abcdef", group, run, address)
    assert read_run_code(code) == RunCode("01234567", group, run)


@given(group=NAMES, run=NAMES)
def test_the_form_without_address_has_four_parts(group: str, run: str) -> None:
    parts = run_code("0123456789abcdef", group, run).split(" ")
    assert len(parts) == 4
    assert set("".join(parts)) <= set(string.ascii_letters + string.digits + "%-._~")


@pytest.mark.parametrize("address", ["10.0.0.5:8000", "ftp://x", "http://", "http://x?a=1", "x"])
def test_an_address_is_one_of_the_web(address: str) -> None:
    with pytest.raises(InputError):
        check_address(address)


@pytest.mark.parametrize("address", ["", "http://192.168.178.20:8000"])
@pytest.mark.parametrize("name", ["1", "A 7", "Ä/ö"])
def test_the_printed_page_leads_to_its_run(setting_of: SettingOf, address: str, name: str) -> None:
    """From the finished PDF: rendered by PDFium, decoded by ZXing."""
    setting = setting_of(groups=2, address=address, first_run=name)
    pdf = pypdfium2.PdfDocument(bench_sheets(setting))
    planned = setting.prepared.experiment.planned
    digest = setting.prepared.experiment.digest[:8].upper()
    for page, group, run in ((0, 1, 0), (len(planned) + 1, 2, 1)):
        picture = pdf[page].render(scale=2).to_numpy()
        (found,) = zxingcpp.read_barcodes(picture)
        assert read_run_code(found.text) == RunCode(digest, str(group), planned[run].run)
        assert found.text.startswith(address or "TB1 ")


def test_the_codes_on_a_page_of_labels_are_all_read(setting_of: SettingOf) -> None:
    setting = setting_of(groups=3)
    pdf = pypdfium2.PdfDocument(labels(setting))
    found = zxingcpp.read_barcodes(pdf[0].render(scale=4).to_numpy())
    read = {(code.group, code.run) for code in (read_run_code(one.text) for one in found)}
    planned = setting.prepared.experiment.planned
    expected = {(str(group), run.run) for group in (1, 2, 3) for run in planned}
    assert len(expected) == 24
    assert read == expected
