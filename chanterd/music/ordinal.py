"""Which one of several alike: ordinal numbers as they are said."""

_SAID = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")


def ordinal(index: int) -> str:
    """The ordinal of an index that counts from 0: ``first``, ``second``, ... ``eighth``, then ``9th``, ``10th``, ..."""
    if index < len(_SAID):
        return _SAID[index]
    number = index + 1
    teens = number // 10 % 10 == 1
    return f"{number}{'th' if teens else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"
