"""The practice's protocol: its models, the loader that reports every mistake at once, and the cross-checks."""
