"""The whole computation, its days, warnings and assumptions.

May import every other room of `computing` but `compare`, `book` and `backdrop`.
"""
