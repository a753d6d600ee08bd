"""The touchscreen: draws view models and hands on touches."""
