"""What would mend a stretch that is not clear; each is tried by planning the whole trip again.

May import `fills` and below. How to plan again is handed in, since only `plan` knows it.
"""
