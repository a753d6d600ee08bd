"""A make that runs: its loop, its page, and the sheets and bands over it."""
