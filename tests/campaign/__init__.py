"""The proofs that a session file loses no acknowledged entry and cannot be changed unseen: `python -m tests.campaign`.

Continuous integration runs the same proofs with smaller numbers (tests/record/test_power.py and its neighbours).
"""
