"""An ornament as it was judged by its drill or its tune."""

from chanterd.listening.followed import Followed
from chanterd.music.units import Ns


def followed(*onsets_ns: int | None, fault: str | None = None) -> Followed:
    """One whose steps began then."""
    faults = [] if fault is None else [{"fault": fault, "step": None, "said": "", "do": "", "drill": None}]
    onsets = [None if one is None else Ns(one) for one in onsets_ns]
    return Followed("grip from B to C", onsets, not faults, faults, None)  # type: ignore[arg-type]


def test_its_theme_is_its_last_step() -> None:
    """Which may have melted into the step before."""
    assert followed(10, None, 70).theme_ns == 70
    assert followed(10, None).theme_ns is None


def test_another_ornament_is_one_that_was_played_in_its_place() -> None:
    """A fault of its own is none."""
    assert followed(10, fault="wrong ornament").other
    assert not followed(10, fault="crushed").other
