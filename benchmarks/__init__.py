"""How long the tool takes, beside a naive reference and a floor; `python -m benchmarks`."""
