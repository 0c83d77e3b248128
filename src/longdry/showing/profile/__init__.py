"""The profile along the route: water carried, ground.

May import `signs` and `words`.
"""
