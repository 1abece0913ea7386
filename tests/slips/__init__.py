"""Slips of the hand at the keypad: what is struck instead of what was meant, and what must follow.

`python -m tests.slips` strikes every slip of one key in two sample scripts and counts what came of each.
"""
