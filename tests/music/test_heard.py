"""What hearing passes on."""

from dataclasses import FrozenInstanceError

import pytest

from chanterd.music.heard import Onset, Silence, Stray
from chanterd.music.note import Note
from chanterd.music.units import Ns


def test_an_onset_is_played_unless_said_otherwise() -> None:
    """Only the ear may call it a bounce."""
    assert not Onset(Note.B, Ns(1)).bounce


@pytest.mark.parametrize("heard", [Onset(Note.B, Ns(1)), Silence(Ns(1)), Stray(12, Ns(1))])
def test_what_was_heard_cannot_be_changed(heard: Onset | Silence | Stray) -> None:
    """It crosses rooms: nobody on the way can move it in time, or hang anything on it."""
    with pytest.raises(FrozenInstanceError):
        heard.at_ns = Ns(2)  # type: ignore[misc]
    assert not hasattr(heard, "__dict__")
