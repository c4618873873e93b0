"""Benchmarks: they print figures and assert nothing. Run one with ``python -m tests.bench.NAME``."""
