"""Benchmarks: `python -m tests.bench`. Nothing here is a timed test: machines are noisy, ratios in one run are not."""
