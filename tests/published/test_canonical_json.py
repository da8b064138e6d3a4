"""The lines that are hashed, against the examples of the standards they follow."""

from __future__ import annotations

import json

import pytest

from tarebook.records.chain import canonical, hash_of


@pytest.mark.published(
    "RFC 8785 (2020), sections 3.2.2 and 3.2.3: the sample object, without its numbers with a "
    "fraction, which lines do not have"
)
def test_json_canonicalization_scheme() -> None:
    sample = json.loads(
        r'{"string": "\u20ac$\u000F\u000aA'
        r"'"
        r'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}'
    )
    printed = '{"literals":[null,true,false],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    assert canonical(sample) == printed


@pytest.mark.published(
    "FIPS 180-2 (2002), appendix B.1 and B.2: SHA-256 of one block and of two; from memory"
)
def test_sha_256() -> None:
    one = "ba7816bf 8f01cfea 414140de 5dae2223 b00361a3 96177a9c b410ff61 f20015ad"
    two = "248d6a61 d20638b8 e5c02693 0c3e6039 a33ce459 64ff2167 f6ecedd4 19db06c1"
    assert hash_of("abc") == one.replace(" ", "")
    message = "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"
    assert hash_of(message) == two.replace(" ", "")
