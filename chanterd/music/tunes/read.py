"""Tunes out of a file, whatever its format; which one it is shows in the file itself, not only in its name."""

from codecs import BOM_UTF16_BE, BOM_UTF16_LE
from pathlib import Path

from chanterd.config import ChanterdError
from chanterd.files import read_file
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.musicxml import LARGEST, read_musicxml, unpacked
from chanterd.music.tunes.tune import Tune

ENDINGS = (".abc", ".musicxml", ".xml", ".mxl")
"""Of the files that hold tunes."""
_ZIP, _RECORDING = b"PK\x03\x04", b"MThd"


def read_tunes(path: Path) -> list[Tune]:
    """Every tune in a file, in its order; at least one.

    Raises ChanterdError, one sentence, if the file cannot be read, is larger than 5 MB, or holds no tune.
    """
    return tunes_from(read_file(path, LARGEST), path.name)


def tunes_from(data: bytes, name: str) -> list[Tune]:
    """Every tune in the bytes of a file of that name. Raises ChanterdError, one sentence, if there is none."""
    if len(data) > LARGEST:
        raise ChanterdError(f"{name}: is larger than {LARGEST // 1_000_000} MB, which no file of tunes needs.")
    try:
        tunes = _read(data)
    except ChanterdError as error:
        raise ChanterdError(f"{name}: cannot be read: {error}.") from error
    with_notes = [tune for tune in tunes if tune.notes]
    if not with_notes:
        raise ChanterdError(f"{name}: holds no tune; in ABC a tune begins with a line 'X:1', in MusicXML it has notes.")
    return with_notes


def _read(data: bytes) -> list[Tune]:
    if data.startswith(_RECORDING):
        raise ChanterdError("it is a recording in MIDI and no written tune; 'chanterd listen' takes it apart")
    if data.startswith(_ZIP):
        return [read_musicxml(unpacked(data))]
    if is_xml(data):
        return [read_musicxml(data)]
    return read_abc(data)


def is_xml(data: bytes) -> bool:
    """Whether a text begins as XML does, in whatever code it is written."""
    head = data[:1000]
    if head.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        return head.decode("utf-16", errors="ignore").lstrip().startswith("<")
    return head.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<")
