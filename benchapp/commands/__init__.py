"""The commands of the command line, one file for each family."""
