"""What would mend a stretch that is not clear; each is tried by planning again.

May import `setbacks`, `fills` and below.
"""
