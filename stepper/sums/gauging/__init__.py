"""Apical gauging as inference: what files that were in a canal prove of its width, and what they do not.

Model: a round, straight canal whose narrowest width c(x) does not decrease coronally; x in mm from the working-length
point, coronally. A file whose tip rests at s proves a width over its cutting part. A file that was held touches
somewhere in its cutting part, not necessarily at its tip.

`pieces` is the algebra, `model` what was read and how exactly, `bounds` what follows from it, `contradiction` which
readings cannot all be true, `compare` a file in question, `next_reading` which further reading would tell most, and
`words` says all of it.
"""
