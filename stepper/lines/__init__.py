"""What is typed on the keypad: keys become a line, a line becomes a wish, a field becomes a value. Pure."""
