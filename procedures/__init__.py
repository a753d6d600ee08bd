"""What to make: formula and method, read from TOML and checked. Knows no device and no screen."""
