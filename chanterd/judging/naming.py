"""What a teacher calls the steps and notes of a drill, and how lengths of time are said."""

from chanterd.music.drill import Drill
from chanterd.music.note import Note
from chanterd.music.ordinal import ordinal
from chanterd.music.ornament import Kind
from chanterd.music.units import NS_PER_MS, Ns


def step_name(drill: Drill, step: int) -> str:
    """What a teacher calls the step: ``second low G``, ``D gracenote``, ``first low G tap``, ``short C``, ``C``."""
    asked = drill.steps[step]
    if asked.kind is Kind.THEME:
        return asked.note.words
    alike = [
        index for index, other in enumerate(drill.steps[:-1]) if (other.note, other.kind) == (asked.note, asked.kind)
    ]
    name = asked.note.words
    if asked.kind is Kind.QUICK:
        name = gracenote_name(asked.note) if asked.note > drill.steps[step + 1].note else f"{name} tap"
    elif asked.note == drill.theme:
        name = f"short {name}"
    return f"{ordinal(alike.index(step))} {name}" if len(alike) > 1 else name


def gracenote_name(note: Note) -> str:
    """What pipers call a gracenote of that note: ``G gracenote``, since one on low G would be a tap."""
    return f"{'G' if note is Note.HIGH_G else note.words} gracenote"


def upper_first(words: str) -> str:
    """The words as the start of a sentence; unlike ``str.capitalize`` it leaves the names of notes alone."""
    return words[:1].upper() + words[1:]


def say_ms(length_ns: Ns | float) -> str:
    """Whole milliseconds: nothing finer can be heard."""
    return f"{round(abs(length_ns) / NS_PER_MS)} ms"
