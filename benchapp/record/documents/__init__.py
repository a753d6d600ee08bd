"""The record and the label on paper and in files: JSON, CSV, PDF. Text in, bytes out; nothing here decides anything."""
