"""What a plan holds: stretches, fills, days, setbacks, mends.

May import `trip` and below.
"""
