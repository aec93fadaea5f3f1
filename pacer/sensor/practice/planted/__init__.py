"""Faults that a practice repair makes on purpose, so that the review can be measured by them.

Such a session has none of the mishaps of every practice: what it shows is what was planted.
"""
