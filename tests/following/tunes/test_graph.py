"""A score as a graph of single notes."""

from chanterd.following.tunes.graph import Graph
from chanterd.music.book import standard_book
from chanterd.music.score import Edge, Way
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.passage import make_passage
from chanterd.music.tunes.segments import Segments


def graph(music: str) -> Graph:
    """Of a tune in eighths, a click being half a second."""
    [tune] = read_abc(f"X:1\nM:2/4\nL:1/8\nK:HP\n{music}\n".encode())
    return Graph(Segments(make_passage(tune), standard_book(), standard_spread(), 5e8).score())


def test_every_gracenote_and_note_is_an_event_in_order() -> None:
    """With its melody note's time in clicks, and how much sooner than that it is due."""
    found = graph("{GdG}c2 A2 |")
    assert [(event.note.abc, event.segment, event.step, event.theme, event.at) for event in found.events] == [
        *[("G", 0, 0, False, 0.0), ("d", 0, 1, False, 0.0), ("G", 0, 2, False, 0.0), ("c", 0, 3, True, 0.0)],
        ("A", 1, 0, True, 1.0),
    ]
    assert found.edges[:4] == ((Edge(1, 0.0),), (Edge(2, 0.0),), (Edge(3, 0.0),), (Edge(4, 1.0),))
    due_ns = [event.from_beat_ns for event in found.events]
    assert due_ns[0] < due_ns[1] < due_ns[2] < due_ns[3] == due_ns[4] == 0


def test_a_repeat_leads_from_a_melody_note_to_the_first_gracenote() -> None:
    """Of the note that it goes back to."""
    found = graph("|: {g}A2 B2 | {GdG}c4 :| d4 |")
    assert found.edges[6] == (Edge(7, 2.0, Way.ON), Edge(0, 2.0, Way.AGAIN))
    assert found.bars == (0, 3, 7)
