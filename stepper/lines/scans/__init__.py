"""Barcodes as a scanner sends them, read into item code, lot and expiry, or refused in one sentence.

Nothing is repaired: a code that cannot be trusted is refused, and what it says is keyed. What reads a kind of code is
loaded at the first of its kind, and the library for GS1 messages with it: the program starts without them.
"""
