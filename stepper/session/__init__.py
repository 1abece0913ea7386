"""The session: the one object that remembers. It takes lines, judges them, writes entries and says what to show."""
