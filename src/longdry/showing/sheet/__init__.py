"""The sheet to carry.

May import `map` and `words`.
"""
