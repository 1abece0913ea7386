"""A random walk over entries: the program's gate against the oracle's, after every entry.

`python -m tests.machine --steps 100000 --seed 1 --jobs 2` prints what was drawn, how many fills were reached, how many
were tried against a shut gate, and every violation; it fails if there is one, or if the walk proves too little.
"""
