"""The note: composed once from a case, sentence by sentence with the entries behind it, then rendered."""
