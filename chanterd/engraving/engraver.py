"""verovio, kept at arm's length: a MusicXML document in, its drawing out.

It is loaded when something is first engraved, and there is one of it for all threads, one at a time: a document is
loaded into it and then drawn from it, and it must not be given another in between.
"""

from functools import cache
from pathlib import Path
from threading import Lock
from typing import Any

from chanterd.config import ChanterdError

MARGIN_OPTIONS = ("pageMarginLeft", "pageMarginRight", "pageMarginTop", "pageMarginBottom")
OPTIONS: dict[str, Any] = {
    "adjustPageHeight": True,
    "beamMaxSlope": 0,
    "footer": "none",
    "graceFactor": 0.68,
    "header": "none",
    "leftMarginNote": 1.4,
    "pageHeight": 60_000,
    "spacingLinear": 0.3,
    **dict.fromkeys(MARGIN_OPTIONS, 0),
}
"""What never changes: level beams, room for the eye, nothing on the page but music."""

HALF_SPACE = 9
"""verovio's default unit: half the distance between two staff lines, in its own measure of a page."""
FULL_ENOUGH = 0.4
"""A row that fills this much of the width is spaced out to the whole of it; a shorter one keeps its own width."""

_lock = Lock()


@cache
def _toolkit() -> Any:  # noqa: ANN401 - verovio has no types
    try:
        import verovio  # noqa: PLC0415 - a tenth of a second, and nobody who only plays needs it
    except ImportError as error:
        raise ChanterdError(
            "Staff notation needs verovio, which is not installed; install it with 'pip install verovio'."
        ) from error
    verovio.enableLog(verovio.LOG_OFF)
    # Only the thread that imported verovio knows where its fonts are; another one's toolkit could draw nothing.
    toolkit = verovio.toolkit(False)  # noqa: FBT003 - its parameter has no name to give
    toolkit.setResourcePath(str(Path(verovio.__file__).parent / "data"))
    return toolkit


def engrave(document: str, width: float | None = None) -> str:
    """The SVG of a MusicXML document: in one row as wide as it needs, or in rows of that width, in staff spaces.

    Raises ChanterdError if verovio is missing or cannot read the document.
    """
    row = {"breaks": "none", "adjustPageWidth": True}
    if width is not None:
        page = round(2 * HALF_SPACE * width)
        row = {"breaks": "auto", "adjustPageWidth": False, "pageWidth": page, "minLastJustification": FULL_ENOUGH}
    with _lock:
        toolkit = _toolkit()
        toolkit.setOptions(OPTIONS | row)
        if not toolkit.loadData(document):
            raise ChanterdError("verovio cannot read what it was given to engrave; is its version older than 6.0?")
        return str(toolkit.renderToSVG(1))
