"""What a protocol is built from: kinds of question and rule, one file each, the TOML shape beside the behaviour."""
