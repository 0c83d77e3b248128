"""A party on its way: its true rates, the rest of its trip, and the least litres to go on with.

May import `setbacks` and below.
"""
