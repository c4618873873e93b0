"""Codes that open a part of the daemon to somebody on the network, made to be read aloud and typed.

A code is 13 letters of Crockford's base 32 (Douglas Crockford, "Base 32", crockford.com), which has no I, L, O or U:
65 bits. At the 100 guesses a minute that ``lockout`` bears from all comers together, guessing one of 42 codes (40
seats, a wall and a desk) takes 2^65 / (2 * 42 * 100) minutes on average, some eight thousand million years.
"""

import secrets

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
LETTERS = 13
BITS = 5 * LETTERS
_READ_AS = str.maketrans({"I": "1", "L": "1", "O": "0"})
"""What people type for a digit that looks like it; Crockford's own rule."""


def new_code() -> str:
    """A code nobody can guess, in groups that can be read aloud: ``7K2M-9XQ4-TBD5W``."""
    letters = "".join(secrets.choice(ALPHABET) for _ in range(LETTERS))
    return f"{letters[:4]}-{letters[4:8]}-{letters[8:]}"


def plain(code: str) -> str:
    """A code as it is compared: capitals, no hyphens or blanks, letters that look like digits read as these."""
    return "".join(code.upper().split()).replace("-", "").translate(_READ_AS)
