"""The functional core: inputs go in, events come out, and the state is only ever the fold of the events."""
