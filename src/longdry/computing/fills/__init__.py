"""What to fill, where, and into which container.

May import `calls`, `treating`, `water` and below.
"""
