"""The loop around a make: the session, the runners that move it on, the clocks, and the bench watched while nothing is made."""
