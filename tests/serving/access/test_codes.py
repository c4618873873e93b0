"""Codes that are read aloud and typed."""

import re

from chanterd.serving.access.codes import ALPHABET, BITS, new_code, plain


def test_a_code_has_more_than_sixty_bits_and_no_two_are_alike() -> None:
    """13 letters out of 32, each as likely as any other (a coarse look at 26,000 letters)."""
    codes = [new_code() for _ in range(2_000)]
    assert BITS >= 60
    assert len(set(codes)) == len(codes)
    assert all(re.fullmatch(r"[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{5}", code) for code in codes)
    letters = "".join(codes).replace("-", "")
    assert set(letters) == set(ALPHABET)
    assert max(map(letters.count, ALPHABET)) < 1.3 * len(letters) / len(ALPHABET)


def test_it_is_read_as_people_type_it() -> None:
    """Small letters, blanks, no hyphens, O for 0 and I or l for 1 (Crockford's rule)."""
    assert plain(" 7k2m 9xq4-tbd5w ") == plain("7K2M-9XQ4-TBD5W") == "7K2M9XQ4TBD5W"
    assert plain("OIL1") == "0111"
