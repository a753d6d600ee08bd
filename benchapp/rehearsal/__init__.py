"""A simulated bench and a simulated pair of hands, so that a make can be rehearsed on the same screens."""
