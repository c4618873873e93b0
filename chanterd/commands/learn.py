"""``chanterd learn``: learns the notes of an unknown chanter from its scale."""

import time
from queue import Empty, Queue
from typing import Annotated

import mido
import typer

from chanterd.commands.options import DataFolder, data_folder
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import Profile, save_profile
from chanterd.hearing.inputs import HELP as INPUT_HELP
from chanterd.hearing.inputs import open_input
from chanterd.hearing.learn import Learned, Learner
from chanterd.hearing.simulated import scale_cue
from chanterd.hearing.source import SourceStatus
from chanterd.music.units import NS_PER_MS, Ns

LESSON_S = 120.0
"""How long ``learn`` waits for the scale."""
LAST_NOTE_S = 0.5
"""How much longer it waits at the end of a file, so that the last note is long enough to count."""

app = typer.Typer(add_completion=False)


@app.command()
def learn(
    source: Annotated[str, typer.Option("--input", metavar="INPUT", help=INPUT_HELP)],
    name: Annotated[str, typer.Option(metavar="NAME", help="What to call the chanter.")] = "my chanter",
    data: DataFolder = None,
) -> None:
    """Learn an unknown chanter: play the scale once, from low G to high A."""
    if not name.strip():
        raise ChanterdError("The name --name is empty; give the chanter a name of one letter or more.")
    folder, opened = data_folder(data, to_write=True), open_input(source)
    learner, arrived = Learner(name), Queue[tuple[mido.Message, Ns] | SourceStatus]()
    opened.start(lambda message, at_ns: arrived.put((message, at_ns)), arrived.put)
    opened.cue(scale_cue(Ns(time.perf_counter_ns() + 500 * NS_PER_MS)))
    try:
        profile = _hear_scale(learner, arrived)
    finally:
        opened.stop()
    path = save_profile(profile, folder)
    typer.echo(f"Saved as '{profile.name}' in {path}. Choose it on the page, or with --chanter in 'chanterd assess'.")


def _hear_scale(learner: Learner, arrived: "Queue[tuple[mido.Message, Ns] | SourceStatus]") -> Profile:
    """Wait for the scale, and print which note to play next. Raises ChanterdError if nobody plays it in time."""
    said, heard, until = "", 0, time.monotonic() + LESSON_S
    while time.monotonic() < until:
        learned: Learned | None = None
        try:
            one = arrived.get(timeout=0.1)
        except Empty:
            learned = learner.wait(Ns(time.perf_counter_ns()))
        else:
            if isinstance(one, SourceStatus):
                typer.echo(one.said, err=True)
                if one.state == "ended":
                    until = time.monotonic() + LAST_NOTE_S
            else:
                learned = learner.hear(*one)
        if learned is not None and learned.said != said:
            said, heard = learned.said, learned.heard
            typer.echo(f"[{learned.heard} of 9] {said}")
        if learned is not None and learned.profile is not None:
            return learned.profile
    raise ChanterdError(f"I heard {heard} of the scale's 9 notes. See 'chanterd inputs' for the ports, then try again.")
