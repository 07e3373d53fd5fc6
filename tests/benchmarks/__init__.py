"""How fast, and in how much memory: `python -m tests.benchmarks --help`."""
