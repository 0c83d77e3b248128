"""Whether a source has water, how certain that is, and whether its pass counts.

May import nothing of `computing`.
"""
