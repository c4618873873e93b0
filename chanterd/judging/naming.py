"""How sentences begin, and how lengths of time are said."""

from chanterd.music.units import NS_PER_MS, Ns


def upper_first(words: str) -> str:
    """The words as the start of a sentence; unlike ``str.capitalize`` it leaves the names of notes alone."""
    return words[:1].upper() + words[1:]


def say_ms(length_ns: Ns | float) -> str:
    """Whole milliseconds: nothing finer can be heard."""
    return f"{round(abs(length_ns) / NS_PER_MS)} ms"
