"""The figures of a plan: name, unit, meaning and value of each, in one table for every export.

May import `words`.
"""
