"""The chains of several benches in one workshop: each bench's own sent to a PostgreSQL server, the others' received."""
