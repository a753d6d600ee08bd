"""A bench that shares nothing with the product's own simulation."""
