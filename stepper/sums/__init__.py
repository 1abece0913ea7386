"""The trade's sums: pure functions that stand alone. Units are in the names or the docstrings, sources beside them."""
