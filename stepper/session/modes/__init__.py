"""What a line means: one module for each kind of conversation, all in place, none of them a screen."""
