"""Every input looks the same from outside."""

from pathlib import Path

import mido
import pytest

from chanterd.hearing.inputs import open_input
from chanterd.hearing.source import Cue, Phrase, Source
from chanterd.hearing.take import write_take
from chanterd.music.note import Note
from chanterd.music.units import Ns
from tests.hearing.listener import Listener


@pytest.fixture(params=["demo", "take", "raw"])
def source(request: pytest.FixtureRequest, tmp_path: Path) -> Source:
    """One source of each kind that needs no driver."""
    take = tmp_path / "take.mid"
    write_take(take, [(mido.Message("note_on", note=67), Ns(0))])
    return open_input({"demo": "demo", "take": str(take), "raw": f"raw:{tmp_path / 'missing'}"}[request.param])


def test_a_source_reports_soon_and_is_stopped_twice(source: Source) -> None:
    """Started, it says how it is in a sentence; stopping twice is harmless, and so is a cue after it."""
    listener = Listener()
    source.start(listener.deliver, listener.report)
    listener.wait_for(lambda: bool(listener.statuses))
    assert listener.statuses[0].said.endswith(".")
    assert source.name
    source.stop()
    source.stop()
    source.cue(None)


def test_nothing_is_delivered_after_stop(source: Source) -> None:
    """Once stop has returned, a cue that was due long ago brings nothing."""
    listener = Listener()
    source.start(listener.deliver, listener.report)
    source.stop()
    source.cue(Cue(Ns(0), Ns(10**9), (Phrase((Note.B, Note.C), (Ns(0), Ns(5))),)))
    assert listener.messages == []
