"""What stays: the journal, and everything written from it."""
