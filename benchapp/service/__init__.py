"""The application service under every face: what can be begun, resumed, rehearsed, received, released and traced."""
