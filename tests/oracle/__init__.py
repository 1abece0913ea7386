"""The fill gate judged anew, from the raw entries alone: what the program's own gate is held to.

It shares no code with `stepper.case`. It knows the entries, the protocol's data and the ISO arithmetic of a cone. Only
clause 8 leans on the program: which rules speak is told to it, since the rules have tests of their own.
"""
