"""After a make: batches and their records, release, lots, traces, trends."""
