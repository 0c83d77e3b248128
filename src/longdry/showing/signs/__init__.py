"""The signs and scales that map and charts share.

May import `words`.
"""
