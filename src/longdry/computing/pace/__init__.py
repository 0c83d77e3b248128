"""How fast the party moves along the line, by ground and slope.

May import `route`.
"""
