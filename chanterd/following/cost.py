"""What a reading costs: the price of each way to explain an asked step or a heard note.

A reading of a rep is a list of decisions, in order of time: this onset was that step, this onset was asked by nobody,
that step was not played. The best reading is the one whose prices add up to the least. The unit is one missing step.
The prices are a choice of ours, tuned on simulated performances with known truth; only their order is argued for here.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Costs:
    """Prices, in missing steps, and the times they depend on."""

    missing: float = 1.0
    melted: float = 0.05
    """A step equal to the sounding note was skipped: nearly free, since it could not have been heard."""
    extra: float = 1.0
    short_extra: float = 0.6
    """An unasked note too short to be meant."""
    crossing: float = 0.4
    """An unasked note, short and on the way of the fingers: the likeliest kind."""
    wrong_note: float = 1.2
    """Less than a step missing and a note too many (2.0), more than either."""
    lateness: float = 1.6
    """The most that a deviation in time can cost; below what makes a step missing and an onset extra.

    It also never costs more than calling the onset extra does, so that no step can melt into its own onset.
    """
    half_lateness_of_click: float = 0.25
    """The deviation, as a share of the click, that costs half of it: near the beat time counts, far off only order."""
    short_ms: float = 40.0
    """Below this an unasked note is short: skilled players' fingers differ by tens of ms (Almeida et al. 2009)."""


STANDARD_COSTS = Costs()
