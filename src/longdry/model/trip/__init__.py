"""The trip as its file tells it: party, pace, heat, policy.

May import `water`, `assumption`, `words` and `arrays` of the model.
"""
