"""Speech and sounds: what a view says and how it sounds. Everything works without them."""
