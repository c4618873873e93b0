"""The MusicXML that we write, against the published schema and a reader of its own.

Sources: the MusicXML 3.1 schema (W3C Music Notation Community Group) as partitura ships it, the newest one at hand;
what we write of 4.0 is in it already. music21's MusicXML reader, which does not keep ids.
"""

from collections.abc import Iterator
from functools import cache
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path

import music21
from lxml import etree
from music21.note import Note as ReadNote

from chanterd.engraving.musicxml import MusicLine, music_xml
from chanterd.music.drill import Drill
from tests.engraving.example_drills import build_up, one_of_each

ELSEWHERE = {
    "xml.xsd": ("http://www.w3.org/XML/1998/namespace", ("lang", "space")),
    "xlink.xsd": ("http://www.w3.org/1999/xlink", ("href", "type", "role", "title", "show", "actuate")),
}
"""What the schema takes from two others on the web; none of it is in our documents."""


class Nearby(etree.Resolver):  # type: ignore[misc]  # it has no types
    """Answers for those two, so that nothing is fetched."""

    def resolve(self, url: str, _name: str, context: object) -> object:
        """A schema that declares their attributes as texts."""
        for file, (namespace, names) in ELSEWHERE.items():
            if url.endswith(f"/xsd/{file}"):
                head = f'<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="{namespace}">'
                body = "".join(f'<xs:attribute name="{name}" type="xs:string"/>' for name in names)
                return self.resolve_string(f"{head}{body}</xs:schema>", context)
        return None


@cache
def whole_book() -> tuple[MusicLine, ...]:
    """A line of music for each ornament, built up stage by stage."""
    return tuple(MusicLine(tuple(build_up(drill)), drill.words) for drill in one_of_each())


@cache
def document() -> str:
    """All of it."""
    return music_xml(whole_book(), "Every ornament & more", 60)


def asked() -> Iterator[tuple[object, ...]]:
    """What the drills say, note for note: MIDI number, kind, length in clicks, grace, stem, beams."""
    for line in whole_book():
        for drill in line.drills:
            yield from in_bar(drill)


def in_bar(drill: Drill) -> Iterator[tuple[object, ...]]:
    """One drill of it."""
    yield (drill.lead.midi, "quarter", 1.0, False, "down", ())
    graces = [step for step in drill.steps if step.sounds][:-1]
    last = len(graces) - 1
    for index, step in enumerate(graces):
        beam = "start" if index == 0 else "stop" if index == last else "continue"
        beams = tuple((number, beam) for number in (1, 2, 3)) if last else ()
        yield (step.note.midi, "32nd", 0.0, True, "up", beams)
    yield (drill.theme.midi, "quarter", 1.0, False, "down", ())


def read(note: ReadNote) -> tuple[object, ...]:
    """The same of a note as music21 read it."""
    beams = tuple((beam.number, beam.type) for beam in note.beams)
    length = float(note.duration.quarterLength)
    return (note.pitch.midi, note.duration.type, length, note.duration.isGrace, note.stemDirection, beams)


def test_music21_reads_back_what_the_drills_say() -> None:
    """Every ornament at every stage: pitches, types, lengths, grace, stems and beams come back identical."""
    score = music21.converter.parseData(document(), format="musicxml")
    assert [read(note) for note in score.recurse().getElementsByClass(ReadNote)] == list(asked())
    assert score.metadata.title == "Every ornament & more"


def test_the_document_is_valid_by_the_published_schema() -> None:
    """Element names, their order and every value are those of the MusicXML schema."""
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(Nearby())
    package = find_spec("partitura")
    assert package is not None
    assert package.origin
    path = Path(package.origin).parent / "assets" / "musicxml.xsd"
    schema = etree.XMLSchema(etree.parse(path, parser))
    parsed = etree.parse(BytesIO(document().encode()))
    assert schema.validate(parsed), schema.error_log
    assert parsed.getroot().get("version") == "4.0"
