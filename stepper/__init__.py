"""The assistant's keyboard-only record of a root canal visit."""

__version__ = "0.1.0"
