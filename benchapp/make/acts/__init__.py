"""The smallest things a maker is asked to do; steps are made of them."""
