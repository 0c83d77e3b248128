"""Making water safe to drink: how, how long, and with how much fuel.

May import nothing of `computing`.
"""
