"""Letters that the standard fonts of a PDF lack, as Polish and Welsh have them: a font of this system, embedded.

Nothing is shipped for it: where no font of the system has a letter, that is said.
"""

import os
from functools import cache
from pathlib import Path
from xml.etree import ElementTree as ET

from reportlab.pdfbase.ttfonts import TTFError, TTFont
from svglib.fonts import register_font

from chanterd.config import ChanterdError

ENCODING = "cp1252"
"""What the standard fonts can show (WinAnsiEncoding; ISO 32000-1, annex D)."""
FOLDERS = (
    Path("/usr/share/fonts"),
    Path("/usr/local/share/fonts"),
    Path.home() / ".local/share/fonts",
    Path("/Library/Fonts"),
    Path("/System/Library/Fonts"),
    Path(os.environ.get("WINDIR", r"C:\Windows")) / "Fonts",
)
FILES = (
    "LiberationSerif-Regular.ttf",
    "times.ttf",
    "Times New Roman.ttf",
    "DejaVuSerif.ttf",
    "NotoSerif-Regular.ttf",
    "FreeSerif.ttf",
)
"""Seriffed fonts that systems have, those that look like Times first."""
MEND = "spell it otherwise, or ask for .svg"
"""What can be done about a letter of a sheet that no font has."""


def is_standard(words: str) -> bool:
    """Whether the standard fonts have every letter."""
    try:
        words.encode(ENCODING)
    except UnicodeEncodeError:
        return False
    return True


def check_letters(words: str, mend: str = MEND) -> None:
    """Raise ChanterdError naming the letter that neither a standard font nor one of this system has, and the mend."""
    if not is_standard(words):
        font_for(words, mend)


def use_fonts_that_have(page: ET.Element) -> None:
    """Set each text of an SVG page in a font that has its letters.

    Raises ChanterdError naming the letter that none has.
    """
    for text in page.iter("text"):
        words = text.text or ""
        if not is_standard(words):
            text.set("font-family", font_for(words))
            text.attrib.pop("font-style", None)
            text.attrib.pop("font-weight", None)


def font_for(words: str, mend: str = MEND) -> str:
    """The name of a font of this system, ready for use, that has every letter of the words.

    Raises ChanterdError naming a letter that none has.
    """
    for name, has in system_fonts().items():
        if {ord(letter) for letter in words} <= has:
            return name
    has_any = set().union(*system_fonts().values())
    letter = next((one for one in words if not is_standard(one) and ord(one) not in has_any), None)
    what = f"the letter '{letter}' in '{words}'" if letter else f"all letters of '{words}'"
    raise ChanterdError(f"No font on this system that fits into a PDF has {what}; {mend}.")


@cache
def system_fonts() -> dict[str, frozenset[int]]:
    """Which letters each usable font has, by the name it goes by here."""
    found: dict[str, frozenset[int]] = {}
    places = {path.name: path for folder in FOLDERS for path in folder.rglob("*.tt[fc]")}
    for path in (places[file] for file in FILES if file in places):
        name = path.stem.replace(" ", "")
        try:
            letters = frozenset(TTFont(name, path).face.charToGlyph)
        except (TTFError, OSError):  # damaged, or of a kind that cannot be embedded: as good as not there
            continue
        register_font(name, str(path))
        found[name] = letters
    return found
