"""The bench-side guide: walks a maker through a batch and writes the batch record."""
