"""The touchscreen: draws moments and hands on touches."""
