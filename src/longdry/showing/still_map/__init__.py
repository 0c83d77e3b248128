"""The drawing of the map for print and for browsers without JavaScript.

May import `map`, `signs` and `words`.
"""
