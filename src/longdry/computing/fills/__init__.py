"""What to fill, where, and into which container.

May import `stretches`, `treating`, `water` and below.
"""
