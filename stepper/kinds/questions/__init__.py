"""The kinds of question: how each is written in a protocol, how its answer is read and how it is shown."""
