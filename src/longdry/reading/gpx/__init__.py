"""What routes and water layers both read of GPX.

May import `files`.
"""
