"""The map that works with no network.

May import `signs` and `words`.
"""
