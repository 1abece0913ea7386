"""The case: the fold of the entries into a state, and the judgement of that state. Pure: no file, no clock."""
