"""The sheet to carry.

May import `words`.
"""
