"""What every room may stand on: numbers on one grid, bands, and TOML whose mistakes name their line."""
