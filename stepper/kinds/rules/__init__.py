"""The kinds of rule: how each is written in a protocol and what it says of the record."""
