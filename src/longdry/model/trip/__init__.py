"""The trip as its file tells it: party, pace, heat, policy.

May import `water`, `words` and `arrays` of the model.
"""
