"""Recipes that are being written, and the shelf of materials they are written from."""
