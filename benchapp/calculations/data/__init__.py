"""Tables of law as TOML: each row with its reference. Check your own market's current law."""
