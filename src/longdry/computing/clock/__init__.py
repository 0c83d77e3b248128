"""When the party is where: moving hours, camps, days, daylight.

May import `pace` and `route`.
"""
