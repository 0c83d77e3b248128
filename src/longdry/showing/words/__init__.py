"""Figures and findings in words, the same everywhere.

May import nothing of `showing`.
"""
