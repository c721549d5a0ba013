"""Speed and memory as ratios taken in one run. None of these is a test: a machine may be slow.

Run one with `python -m tests.benchmarks.<name>`.
"""
