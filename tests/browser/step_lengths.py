"""The lengths of a simulated rep's steps, in the shape of a verdict."""

from chanterd.judging.report import Lengths, StepResult


def lengths_of(steps: list[StepResult], kind: str) -> Lengths:
    """The lengths of the steps of one kind."""
    lengths = [(one["step"], one["length_ms"]) for one in steps if one["kind"] == kind and one["length_ms"] is not None]
    ratio = max(ms for _, ms in lengths) / min(ms for _, ms in lengths) if len(lengths) > 1 else None
    return {
        "steps": [step for step, _ in lengths],
        "lengths_ms": [ms for _, ms in lengths],
        "longest_over_shortest": ratio,
        "spread_ms": None if ratio is None else 4.0,
    }
