"""The drawings that explain: vessels, baths, curves, waits, bottles, signs."""
