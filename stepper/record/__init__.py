"""The record of one visit: an append-only, hash-chained file of entries, and where such files live."""
