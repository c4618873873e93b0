"""What the pages are shown of an exercise, a ladder and a plan."""

from chanterd.practice.ladder.climb import begin
from chanterd.practice.ladder.rule import OFFERED, as_json
from chanterd.serving.wire.views import ladder_view
from tests.serving.played_seat import Sitting, rep_line

GRIP = "grip from B to C"


def test_up_the_scale_each_rep_names_its_own_notes(sitting: Sitting) -> None:
    """The grid frame holds what all reps ask in turn; each rep played comes back with its own lead and steps."""
    sitting.practise(GRIP, 60.0, layout="up and down the scale")
    shown = sitting.of("grid")[-1]["practice"]
    sequence = shown["sequence"]
    assert (shown["drill"], shown["asked"]) == (GRIP, sequence[0])
    assert [one["lead"] for one in sequence[:4]] == ["low G", "low A", "B", "D"]
    # Rising without a gap, the lead has sounded as the theme before; after a gap in the way it is a new note.
    assert [one["lead_sounds"] for one in sequence[1:4]] == [False, False, True]
    assert "not played there: from C to D" in shown["left_out"]
    cue = sitting.cue()
    for rep in range(len(sequence) + 2):
        sitting.play(rep_line(cue, rep))
    reps = sitting.of("rep")
    assert len(reps) > len(sequence)
    for one in reps:
        asked = sequence[one["rep"] % len(sequence)]
        assert one["lead"]["note"] == asked["lead"]
        assert [step["note"] for step in one["steps"]] == [step["note"] for step in asked["steps"]]
        assert one["clean"], one


def test_a_ladder_shows_its_rule_its_rungs_and_where_a_full_row_leads() -> None:
    """By the rule that is offered: from 60 by 4 to 80; the last rung is the top even if it is a smaller step."""
    view = ladder_view(OFFERED, begin(OFFERED))
    assert dict(view["rule"]) == as_json(OFFERED)
    assert view["rungs"] == [60.0, 64.0, 68.0, 72.0, 76.0, 80.0]
    assert (view["full_row"], view["full_row_bpm"], view["no_row_bpm"]) == ("up to 64", 64.0, 56.0)
