"""Many plans at once: here, in several processes, or on a cluster; the answer is the same.

May import `api` and what lies below it; `cli` alone may import it.
"""
