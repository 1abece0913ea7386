"""What gauging proves, held against canals that are simulated, a mixed-integer program and brute force.

Nothing here shares a line with `stepper.sums.gauging` but the records that it is given: `walls` is a canal's true width
and where a real file stops in it, `visits` reads a sequence of files as a clinician would, `claims` holds the bounds
against the truth, `tables` counts how often they fail, `program` is the mixed-integer program, `brute` tries every
further reading and every set of readings, `exact` evaluates the definitions in fractions, `evidence` draws readings.
"""
