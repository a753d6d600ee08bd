"""Speech and sounds: what a moment says and how it sounds. Everything works without them."""
