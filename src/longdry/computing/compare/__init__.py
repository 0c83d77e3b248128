"""Many plans laid side by side: which are made, what each comes to, which stand out.

May import `plan` and every room below it.
"""
