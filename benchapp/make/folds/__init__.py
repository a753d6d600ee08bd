"""What each kind of event changes in the state of a make: a file for each side of it, as the events have."""
