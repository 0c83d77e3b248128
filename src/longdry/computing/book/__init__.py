"""Changes to a water book: marking, visiting, retiring, bringing in.

May import `route` and `water`.
"""
