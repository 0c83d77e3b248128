"""Many plans laid side by side: what was combined, what came out of each, what stands out.

May import `plan` and what lies below it.
"""
