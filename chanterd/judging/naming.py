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
        name += " gracenote" if asked.note > drill.steps[step + 1].note else " tap"
    elif asked.note == drill.theme:
        name = f"short {name}"
    return f"{ordinal(alike.index(step))} {name}" if len(alike) > 1 else name


def a_note(note: Note) -> str:
    """The note with its article, as it is said aloud: ``a low G``, ``an E``."""
    return f"{'an' if note in (Note.E, Note.F) else 'a'} {note.words}"


def upper_first(words: str) -> str:
    """The words as the start of a sentence; unlike ``str.capitalize`` it leaves the names of notes alone."""
    return words[:1].upper() + words[1:]


def say_ms(length_ns: Ns | float) -> str:
    """Whole milliseconds: nothing finer can be heard."""
    return f"{round(abs(length_ns) / NS_PER_MS)} ms"
