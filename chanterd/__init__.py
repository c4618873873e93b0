"""chanterd listens to an electronic practice chanter over MIDI and shows how each step of an ornament fell.

What was played goes one way: hearing, following, judging, practice, serving. ``trade`` says what is to be played.
"""

__version__ = "0.2.0"
