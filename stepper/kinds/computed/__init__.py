"""The computed values, by what they are of; each module lists its own in `VALUES`."""
