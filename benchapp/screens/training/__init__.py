"""Practising on a simulated bench, how it went, and who may do what."""
