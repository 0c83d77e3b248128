"""Where the plan calls: which passes are one stop, and at which stops the party goes to the water.

May import `stretches` and below.
"""
