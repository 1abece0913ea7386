"""What is known: values, entries and the remarks made of them. Frozen records without behaviour worth a bug."""
