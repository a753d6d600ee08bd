"""What a hand, a foot or a barcode reader does to the app: judged and timed before anything is told of it."""
