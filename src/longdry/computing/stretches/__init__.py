"""Dry stretches between water that counts, and their verdicts.

May import `heat`, `needs`, `clock` and below.
"""
