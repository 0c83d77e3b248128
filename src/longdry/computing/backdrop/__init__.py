"""Which tiles and shapes of a backdrop lie near the route.

May import nothing of `computing`.
"""
