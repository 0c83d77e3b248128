"""The line: its length on the ellipsoid, and every approach of it to a place.

May import nothing of `computing`.
"""
