"""What happens when it goes wrong: dry sources, delays, turning back, waiting, chance.

May import `fills` and below.
"""
