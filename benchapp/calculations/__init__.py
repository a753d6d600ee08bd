"""The sums of the trade: pure functions over floats with their units in their names, each with its source."""
