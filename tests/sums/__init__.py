"""The sums, against published figures and against their own laws."""
